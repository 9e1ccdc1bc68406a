"""Long work on all cores or on a cluster, and the book in each process."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any, TypeAlias, TypeVar

from msgspec import Struct

from proveout.app.places import open_book
from proveout.model.book import Book
from proveout.model.problem import WrongUsageError

Item = TypeVar("Item")
Answer = TypeVar("Answer")


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
        WrongUsageError: the rules found here are others than those of the process that gave the work.
    """
    if key not in _held:
        book = open_book(key.layers)
        if book.digest != key.digest:
            raise WrongUsageError(
                "A worker found other rules than this process: they changed meanwhile, or it runs elsewhere."
            )
        hold(book, key.layers)
    return _held[key]


#: Passes answers on, as a progress bar does: the answers, their number where known, those done before.
Watch: TypeAlias = Callable[[Generator[Any, None, None], int | None, int], Generator[Any, None, None]]


def unseen(
    answers: Generator[Any, None, None], _length: int | None, _done: int
) -> Generator[Any, None, None]:
    """Return the answers as they are: nobody watches."""
    return answers


def work(
    task: Callable[[Item], Answer],
    items: Iterable[Item],
    *,
    jobs: int | None,
    scheduler: str = "",
    length: int | None = None,
    done: int = 0,
    watch: Watch = unseen,
) -> Generator[Any, None, None]:
    """Return the answers in the order of the items.

    Args:
        task: a function of a module; its exceptions end the work.
        items: what it is called with.
        jobs: processes; None for one a core, and no more than there are items.
        scheduler: of a Dask cluster, or "".
        length: number of items in all, those done before included, or None where nobody knows.
        done: how many were done before.
        watch: sees the answers pass.

    Raises:
        WrongUsageError: the cluster cannot be used.
    """
    return watch(_answers(task, items, jobs, scheduler), length, done)


def _answers(
    task: Callable[[Item], Answer], items: Iterable[Item], jobs: int | None, scheduler: str
) -> Generator[Any, None, None]:
    from proveout.spread.cluster import ClusterError
    from proveout.spread.order import in_order
    from proveout.spread.processes import cores

    most = len(items) if isinstance(items, Sequence) else None
    count = min(jobs or cores(), max(most, 1)) if most is not None else jobs or cores()
    with closing(in_order(task, items, jobs=count, scheduler=scheduler)) as answers:
        try:
            yield from answers
        except ClusterError as error:
            raise WrongUsageError(str(error)) from None
