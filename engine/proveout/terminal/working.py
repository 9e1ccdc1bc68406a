"""Options of long work, and its progress bar."""

from __future__ import annotations

import sys
from collections.abc import Callable, Generator
from contextlib import closing
from pathlib import Path
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


def sample_options(draw: int) -> Callable[[F], F]:
    """Return what adds ``--cases DIR``, ``--draw N`` (so many by default) and ``--seed N`` to a command."""

    def add(command: F) -> F:
        for option in (
            click.option(
                "--seed", type=click.IntRange(0), default=1, show_default=True, help="Of the draws."
            ),
            click.option(
                "--draw", type=click.IntRange(0), default=draw, show_default=True, help="Cases drawn besides."
            ),
            click.option(
                "--cases",
                "case_dirs",
                multiple=True,
                metavar="DIR",
                type=click.Path(path_type=Path, exists=True, file_okay=False),
                help="Also try the intake documents and case files of this directory (repeatable).",
            ),
        ):
            command = option(command)
        return command

    return add


def watched(answers: Generator[Any, None, None], length: int | None, done: int) -> Generator[Any, None, None]:
    """Return the answers, with a progress bar where a terminal sees it and their number is known."""
    hidden = length is None or not sys.stderr.isatty()
    bar: Any = click.progressbar(length=length or 0, file=sys.stderr, hidden=hidden)
    with closing(answers), bar:
        bar.update(done)
        for answer in answers:
            yield answer
            bar.update(1)
