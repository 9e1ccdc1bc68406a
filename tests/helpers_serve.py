"""Starts ``proveout serve`` as its own process, and talks to it over plain sockets."""

from __future__ import annotations

import http.client
import os
import re
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

from helpers_shipped import lend_books

_ADDRESS = re.compile(r"^Open:\s+(https?://(\S+):(\d+)/enter/(\S+))$")


@dataclass
class Served:
    """A running server.

    Attributes:
        address: by which it is entered.
        host, port, token: its parts.
        cases: the directory of its cases.
        said: lines on its standard error since it began, in the end all of them.
    """

    address: str
    host: str
    port: int
    token: str
    cases: Path
    process: subprocess.Popen[str]
    said: list[str] = field(default_factory=list)

    @property
    def origin(self) -> str:
        """Return the origin of its pages."""
        return f"http://{self.host}:{self.port}"

    @property
    def cookie(self) -> str:
        """Return the cookie that lets in."""
        return f"proveout-{self.port}={self.token}"


@dataclass(frozen=True)
class Reply:
    """What the server answered."""

    status: int
    headers: Mapping[str, str]
    body: str


@contextmanager
def serving(home: Path, *options: str) -> Iterator[Served]:
    """Serve an empty directory of cases below a home of its own, until the block ends."""
    cases = home / "cases"
    cases.mkdir(parents=True, exist_ok=True)
    lend_books(home / "cache")
    places = {"XDG_DATA_HOME": str(home / "data"), "XDG_CACHE_HOME": str(home / "cache")}
    program = "from proveout.cli.entry import entry; entry()"
    process = subprocess.Popen(
        [sys.executable, "-c", program, "serve", str(cases), "--port", "0", *options],
        env={**os.environ, **places, "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stderr is not None
    said: list[str] = []
    try:
        for line in process.stderr:
            said.append(line)
            if found := _ADDRESS.match(line):
                break
        else:
            raise AssertionError(f"the server did not start: {''.join(said)}")
        reader = threading.Thread(target=said.extend, args=(process.stderr,), daemon=True)
        reader.start()
        yield Served(found[1], found[2], int(found[3]), found[4], cases, process, said)
    finally:
        process.terminate()
        process.wait(timeout=20)
        process.stderr.close()


def ask(
    served: Served,
    path: str,
    fields: Sequence[tuple[str, str]] | None = None,
    *,
    known: bool = True,
    waits: bool = False,
    timeout: float = 60.0,
    more: Mapping[str, str] | None = None,
) -> Reply:
    """Ask for a path, or send a form to it, as a browser that was let in does; ``more`` are headers."""
    headers = {"Cookie": served.cookie} if known else {}
    if waits:
        headers["Accept"] = "application/json"
    body = None
    if fields is not None:
        body = urlencode(fields)
        headers |= {"Content-Type": "application/x-www-form-urlencoded", "Origin": served.origin}
    headers |= more or {}
    connection = http.client.HTTPConnection(served.host.strip("[]"), served.port, timeout=timeout)
    try:
        connection.request("GET" if fields is None else "POST", path, body, headers)
        answer = connection.getresponse()
        found = {name.lower(): value for name, value in answer.getheaders()}
        return Reply(answer.status, found, answer.read().decode("utf-8", "replace"))
    finally:
        connection.close()


def opened(served: Served, mark: str, *fields: tuple[str, str]) -> str:
    """Open a case with a code, and whatever else, and return its name."""
    reply = ask(served, "/new", [("mark", mark), ("codes", "P0442"), *fields])
    assert reply.status == 303, reply.body
    return reply.headers["location"].removeprefix("/case/")
