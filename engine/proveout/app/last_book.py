"""By which book the last advice of a case was given, where another one is at hand now."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from proveout.model.book import Book
from proveout.model.problem import BadInputError, DamagedRecordError, Place
from proveout.record import casefile, files
from proveout.record.bodies import Advice, body_of
from proveout.record.event import parse
from proveout.record.verify import split


def book_told(layers: Sequence[str]) -> str:
    """Return what a book is made of, in words."""
    own = [name for name in layers if name != "book"]
    return f"the shipped rules and {', '.join(own)}" if own else "the shipped rules alone"


def other_book(path: Path, book: Book) -> str:
    """Say that the last advice of a case rests on other rules than those at hand; "" where it does not.

    What is no case file, cannot be read or has no advice gives nothing here: whoever reads it says so.
    """
    try:
        data = files.read(path)
        if not casefile.is_case_file(data):
            return ""
        last = next(one for one in reversed(split(data)[0]) if b"\nkind: advice\n" in one.data[:200])
        event = parse(last.data.decode(), Place(files.shown(path), last.line, 1))
        body = body_of(event, Advice)
    except (BadInputError, DamagedRecordError, StopIteration, UnicodeDecodeError):
        return ""
    if isinstance(body.book, str) or not body.book_digest:
        return ""
    if body.book_digest == book.digest and tuple(body.book.layers) == book.layers:
        return ""
    when = f"the last advice of {files.shown(path)} (event {event.n})"
    then, now = book_told(body.book.layers), book_told(book.layers)
    if tuple(body.book.layers) == book.layers:
        return f"Note: the rules have changed since {when}; it was given with {then}, too."
    return f"Note: {when} was given with {then}; this is answered with {now}. Layers are named by --rules."
