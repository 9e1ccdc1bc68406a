"""Long work on all cores or on a cluster: its options, the book in each process, the progress bar."""

from __future__ import annotations

import sys
from collections.abc import Callable, Generator, Iterable, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any, TypeVar

import click
from msgspec import Struct

from proveout.cli.common import open_book
from proveout.model.book import Book

F = TypeVar("F", bound=Callable[..., Any])
Item = TypeVar("Item")
Answer = TypeVar("Answer")


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


class BookKey(Struct, frozen=True):
    """Which book a piece of work needs; processes are given this, and open the book themselves.

    Attributes:
        layers: directories laid over the shipped book.
        digest: of the whole.
    """

    layers: tuple[Path, ...]
    digest: str


#: The one book that this process works with.
_held: dict[BookKey, Book] = {}


def hold(book: Book, layers: tuple[Path, ...]) -> BookKey:
    """Keep an open book for the work of this process, and return its key."""
    key = BookKey(layers, book.digest)
    _held.clear()
    _held[key] = book
    return key


def held(key: BookKey) -> Book:
    """Return the book of a key, opened at the first call of a process.

    Raises:
        BadInputError: it cannot be used.
        click.ClickException: the rules found here are others than those of the process that gave the work.
    """
    if key not in _held:
        book = open_book(key.layers)
        if book.digest != key.digest:
            raise click.ClickException(
                "A worker found other rules than this process: they changed meanwhile, or it runs elsewhere."
            )
        hold(book, key.layers)
    return _held[key]


def work(
    task: Callable[[Item], Answer],
    items: Iterable[Item],
    *,
    jobs: int | None,
    scheduler: str = "",
    length: int | None = None,
    done: int = 0,
) -> Generator[Any, None, None]:
    """Return the answers in the order of the items, with a progress bar where a terminal sees it.

    Args:
        task: a function of a module; its exceptions end the work.
        items: what it is called with.
        jobs: processes; None for one a core, and no more than there are items.
        scheduler: of a Dask cluster, or "".
        length: number of items in all, those done before included, or None where nobody knows.
        done: how many were done before.

    Raises:
        click.UsageError: the cluster cannot be used.
    """
    from proveout.spread.cluster import ClusterError
    from proveout.spread.order import in_order
    from proveout.spread.processes import cores

    most = len(items) if isinstance(items, Sequence) else None
    count = min(jobs or cores(), max(most, 1)) if most is not None else jobs or cores()
    hidden = length is None or not sys.stderr.isatty()
    bar: Any = click.progressbar(length=length or 0, file=sys.stderr, hidden=hidden)
    with closing(in_order(task, items, jobs=count, scheduler=scheduler)) as answers, bar:
        bar.update(done)
        try:
            for answer in answers:
                yield answer
                bar.update(1)
        except ClusterError as error:
            raise click.UsageError(str(error)) from None
