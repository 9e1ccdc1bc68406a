"""Says what is being done where it takes longer than a moment."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import click

#: Seconds after which it is said.
A_MOMENT = 0.5


@contextmanager
def doing(what: str) -> Iterator[None]:
    """Say on standard error what goes on, once it has taken half a second; wipe it off when it is done.

    Nothing is said where standard error is no terminal.
    """
    if not sys.stderr.isatty():
        yield
        return
    said = threading.Event()

    def say() -> None:
        said.set()
        click.echo(f"{what} ...", nl=False, err=True)

    timer = threading.Timer(A_MOMENT, say)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        if said.is_set():
            dumb = os.environ.get("TERM") == "dumb"
            click.echo("\n" if dumb else "\r\x1b[K", nl=False, err=True)
