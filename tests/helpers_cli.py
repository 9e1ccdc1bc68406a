"""Runs the command line in-process, with the user's directories pointed at a temporary one."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager, nullcontext, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

import yaml

from helpers_shipped import lend_books
from proveout.cli.main import run


@dataclass(frozen=True)
class Answer:
    """What a command gave."""

    code: int
    out: str
    err: str


@contextmanager
def _stdin(text: str) -> Iterator[None]:
    with mock.patch.object(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode()), encoding="utf-8")):
        yield


def proveout(
    *arguments: object,
    home: Path,
    stdin: str = "",
    also: Mapping[str, str] | None = None,
    during: AbstractContextManager[object] | None = None,
) -> Answer:
    """Run ``proveout ARGUMENTS`` and return its exit code and output.

    Args:
        arguments: of the command.
        home: holds the user's directories.
        stdin: what is typed.
        also: further environment variables.
        during: what goes on around the command itself, such as faults.
    """
    out, err = io.StringIO(), io.StringIO()
    lend_books(home / "cache")
    places = {
        "XDG_DATA_HOME": str(home / "data"),
        "XDG_CACHE_HOME": str(home / "cache"),
        "XDG_CONFIG_HOME": str(home / "config"),
        "COLUMNS": "80",
        **(also or {}),
    }
    with (
        mock.patch.dict("os.environ", places),
        _stdin(stdin),
        redirect_stdout(out),
        redirect_stderr(err),
        during or nullcontext(),
    ):
        code = run([str(item) for item in arguments])
    return Answer(code, out.getvalue(), err.getvalue())


def write_yaml(path: Path, document: object) -> Path:
    """Write a document as YAML and give the path."""
    path.write_text(yaml.safe_dump(document, sort_keys=False), encoding="utf-8")
    return path
