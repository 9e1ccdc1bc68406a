"""A client of the YAML language server, as an editor is one: JSON-RPC over its standard input and output."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from helpers_npm import npm_package


class Editor:
    """An editor with one language server."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self._process = process
        self._last = 0

    def _send(self, method: str, params: Any, *, ask: bool = False) -> None:
        message: dict[str, Any] = {"jsonrpc": "2.0", "method": method, "params": params}
        if ask:
            self._last += 1
            message["id"] = self._last
        body = json.dumps(message).encode()
        assert self._process.stdin is not None
        self._process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(body), body))
        self._process.stdin.flush()

    def _receive(self) -> Any:
        assert self._process.stdout is not None
        length = 0
        while line := self._process.stdout.readline().strip():
            if line.lower().startswith(b"content-length:"):
                length = int(line.split(b":")[1])
        assert length, "the language server ended"
        message = json.loads(self._process.stdout.read(length))
        if "id" in message and "method" in message:  # it asks the editor something: nothing is configured
            items = len(message["params"].get("items", ())) if isinstance(message.get("params"), dict) else 0
            body = json.dumps({"jsonrpc": "2.0", "id": message["id"], "result": [None] * items}).encode()
            assert self._process.stdin is not None
            self._process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(body), body))
            self._process.stdin.flush()
        return message

    def ask(self, method: str, params: Any) -> Any:
        """Ask and return the answer."""
        self._send(method, params, ask=True)
        while True:
            message = self._receive()
            if message.get("id") == self._last and "method" not in message:
                assert "error" not in message, message["error"]
                return message["result"]

    def start(self, home: Path) -> None:
        """Introduce the editor."""
        self.ask("initialize", {"processId": None, "rootUri": home.as_uri(), "capabilities": {}})
        self._send("initialized", {})
        settings = {
            "yaml": {"validate": True, "completion": True, "hover": True, "schemaStore": {"enable": False}}
        }
        self._send("workspace/didChangeConfiguration", {"settings": settings})

    def marks(self, path: Path, text: str) -> list[Any]:
        """Open a text under a file's name and return what is marked in it."""
        document = {"uri": path.as_uri(), "languageId": "yaml", "version": 1, "text": text}
        self._send("textDocument/didOpen", {"textDocument": document})
        while True:
            message = self._receive()
            told = message.get("method") == "textDocument/publishDiagnostics"
            if told and message["params"]["uri"] == path.as_uri():
                return list(message["params"]["diagnostics"])

    def offered(self, path: Path, line: int, column: int) -> dict[str, Any]:
        """Return what is offered for completion at a line and column from 0: label to item."""
        place = {"textDocument": {"uri": path.as_uri()}, "position": {"line": line, "character": column}}
        answer = self.ask("textDocument/completion", place)
        items = answer["items"] if isinstance(answer, dict) else answer
        return {item["label"]: item for item in items}

    def said(self, path: Path, line: int, column: int) -> str:
        """Return what is said of the word at a place."""
        place = {"textDocument": {"uri": path.as_uri()}, "position": {"line": line, "character": column}}
        answer = self.ask("textDocument/hover", place)
        return json.dumps(answer["contents"]) if answer else ""


@contextmanager
def editor(home: Path) -> Iterator[Editor]:
    """Start the language server for a directory; it is ended with the test."""
    program = npm_package("yaml-language-server") / "bin" / "yaml-language-server"
    process = subprocess.Popen(
        ["node", str(program), "--stdio"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=home
    )
    try:
        found = Editor(process)
        found.start(home)
        yield found
    finally:
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                pipe.close()
