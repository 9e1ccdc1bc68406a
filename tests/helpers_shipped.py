"""The shipped book and cases, loaded once for all tests of a process and compiled once for all processes."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TypeVar

from filelock import FileLock

from proveout.book.compiled.shelf import RACY
from proveout.book.load import load_book
from proveout.book.shipped import cases_dir
from proveout.model.book import Book

#: Compiled books of the checkout; where the tests run on an installed program it carries its own.
BOOKS = Path(__file__).resolve().parents[1] / ".pytest_cache" / "books"

_Made = TypeVar("_Made")


@cache
def shipped_book() -> Book:
    """Return the shipped book."""
    BOOKS.parent.mkdir(exist_ok=True)
    with FileLock(BOOKS.with_suffix(".lock")):
        return load_book(cache=BOOKS)


def lend_books(cache_home: Path) -> None:
    """Put the compiled books into a cache of the user's, lest each test compile the shipped one anew.

    The notes by which they are found again come along.
    """
    shipped_book()
    home = cache_home / "proveout" / "books"
    home.mkdir(mode=0o700, parents=True, exist_ok=True)
    (home / "seen").mkdir(mode=0o700, exist_ok=True)
    for path in (*BOOKS.glob("*.book"), *BOOKS.glob("seen/[0-9a-f]*")):
        with suppress(FileExistsError):
            os.link(path, home / path.relative_to(BOOKS))


def once_unchanged(make: Callable[[Path], _Made]) -> Callable[[Path], _Made]:
    """Return a function of a file that is asked once in a process and thread while the file stays as it is.

    A file that was changed so lately that its time might not show a further change is asked about anew.
    """
    made: dict[tuple[int, ...], _Made] = {}

    def of(path: Path) -> _Made:
        try:
            state = path.stat()
        except OSError:
            return make(path)
        if time.time_ns() - state.st_mtime_ns < RACY * 1e9:
            return make(path)
        key = (state.st_ino, state.st_size, state.st_mtime_ns, threading.get_ident())
        if key not in made:
            made[key] = make(path)
        return made[key]

    return of


@cache
def shipped_cases() -> tuple[Path, ...]:
    """Return the files of the shipped cases, sorted."""
    return tuple(sorted(cases_dir().rglob("*.yaml")))
