"""What the commands share: options, loading the book and a case, printing, exit codes."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

import click

from proveout.model.book import Book

#: Exit codes, as the help and the README list them.
DONE, FINDINGS, USAGE, BAD_INPUT, DAMAGED, INTERNAL, STOPPED = 0, 1, 2, 3, 4, 70, 130

F = TypeVar("F", bound=Callable[..., Any])


def book_options(command: F) -> F:
    """Add ``--rules DIR`` (repeatable): layers laid over the shipped book."""
    option = click.option(
        "--rules",
        "layers",
        multiple=True,
        metavar="DIR",
        type=click.Path(path_type=Path),
        help="Lay the rules of this directory over the book (repeatable).",
    )
    return option(command)


def json_option(command: F) -> F:
    """Add ``--json``."""
    return click.option("--json", "as_json", is_flag=True, help="Print a JSON document instead of text.")(
        command
    )


def display_option(command: F) -> F:
    """Add ``--display``, which the environment variable ``PROVEOUT_DISPLAY`` sets beforehand."""
    return click.option(
        "--display",
        type=click.Choice(["as-written", "metric", "us"]),
        envvar="PROVEOUT_DISPLAY",
        default="as-written",
        help="Units that readings and limits are shown in; records and JSON never change. "
        "PROVEOUT_DISPLAY sets it for good.",
    )(command)


def engine_option(command: F) -> F:
    """Add ``--engine NAME``."""
    return click.option(
        "--engine",
        type=click.Choice(["durable", "reference"]),
        help="Which chainer to use (default: durable where it can be imported).",
    )(command)


def width() -> int:
    """Columns to write for: the terminal's, between 60 and 100."""
    return max(60, min(100, shutil.get_terminal_size((80, 24)).columns))


def say(text: str) -> None:
    """Write data to standard output."""
    click.echo(text)


def tell(text: str) -> None:
    """Write a message to standard error."""
    click.echo(text, err=True)


def say_json(document: dict[str, Any]) -> None:
    """Write a JSON document to standard output."""
    click.echo(json.dumps(document, ensure_ascii=False, indent=2))


def open_book(layers: tuple[Path, ...]) -> Book:
    """Load the shipped book with layers over it, using the user's cache.

    Raises:
        BadInputError: the rules cannot be used.
    """
    from proveout.book import load_book

    return load_book(layers, cache=cache_dir() / "books", tell=tell)


def refuse_unknown(given: Iterable[str], known: Iterable[str], what: str) -> None:
    """Refuse what is not among the known words, with the nearest one that is.

    Raises:
        click.UsageError: a word is not known.
    """
    from proveout.text import did_you_mean

    words = set(known)
    for word in given:
        if word not in words:
            hint = did_you_mean(word, words).replace("did", "Did", 1)
            raise click.UsageError(f"{word} is no {what}. {hint}".rstrip())


def cache_dir() -> Path:
    """Give the directory for what can be made again."""
    import platformdirs

    return Path(platformdirs.user_cache_path("proveout", appauthor=False))


def data_dir() -> Path:
    """Give the directory for what must be kept, such as snapshots of books."""
    import platformdirs

    return Path(platformdirs.user_data_path("proveout", appauthor=False))


def at_terminal() -> bool:
    """Say whether questions can be asked."""
    return sys.stdin.isatty() and sys.stdout.isatty()
