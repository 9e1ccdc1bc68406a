"""Options of long work, and its progress bar."""

from __future__ import annotations

import sys
from collections.abc import Callable, Generator
from contextlib import closing
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


def jobs_option(command: F) -> F:
    """Add ``--jobs N``."""
    return click.option(
        "--jobs",
        type=click.IntRange(1),
        metavar="N",
        help="Work in so many processes (default: one a core); the answers do not depend on it.",
    )(command)


def scheduler_option(command: F) -> F:
    """Add ``--scheduler ADDRESS``."""
    return click.option(
        "--scheduler",
        default="",
        metavar="ADDRESS",
        help="Let the workers of the Dask scheduler at this address do the work, as tcp://127.0.0.1:8786; "
        "needs the extra `fleet`. Each must find the same rules and files under the same names.",
    )(command)


def watched(answers: Generator[Any, None, None], length: int | None, done: int) -> Generator[Any, None, None]:
    """Return the answers, with a progress bar where a terminal sees it and their number is known."""
    hidden = length is None or not sys.stderr.isatty()
    bar: Any = click.progressbar(length=length or 0, file=sys.stderr, hidden=hidden)
    with closing(answers), bar:
        bar.update(done)
        for answer in answers:
            yield answer
            bar.update(1)
