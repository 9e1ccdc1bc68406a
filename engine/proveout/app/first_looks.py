"""First looks at codes, each worked out once for a book and then kept among what can be made again.

A bare code is asked for again and again, by more people than any case, and always with the same answer. What
is kept answers to the stamp of all files that it follows from: the book's and the program's as far as advice
goes. It carries its own digest; whatever does not hold is worked out anew.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import msgspec

from proveout.app.looks_kept import KEPT, sealed, unsealed
from proveout.app.places import cache_dir, open_book
from proveout.book.compiled.made_from import stamp_of
from proveout.book.compiled.shelf import Shelf
from proveout.book.compiled.stamp import ADVISING
from proveout.book.files import lay
from proveout.book.shipped import rules_dir
from proveout.book.tree import SHOWN
from proveout.model.first_look import FirstLook

if TYPE_CHECKING:
    from pathlib import Path

    from proveout.model.book import Book

#: Causes named.
USUAL = 3
#: First looks that are kept.
MOST_KEPT = 2000


def first_looks(
    codes: Sequence[str], layers: tuple[Path, ...], tell: Callable[[str], None] | None = None
) -> list[FirstLook | None]:
    """Return a first look at each code, None for one that the book does not have.

    Args:
        codes: five characters each.
        layers: directories laid over the shipped book.
        tell: takes messages, such as that compiling takes a moment.

    Raises:
        BadInputError: the rules cannot be used.
    """
    kept = Shelf(cache_dir() / KEPT, most_notes=MOST_KEPT)
    try:
        stamp, latest = stamp_of(lay(rules_dir(), layers, SHOWN), ADVISING)
    except OSError:  # which opening the book words
        stamp, latest = "", 0
    found: list[FirstLook | None] = []
    book: Book | None = None
    for code in codes:
        look = _read(kept.noted(f"{stamp}-{code}"))
        if look is None:
            book = book or open_book(layers, tell)
            look = _worked_out(book, code)
            if look is not None:
                kept.note(f"{stamp}-{code}", sealed(msgspec.json.encode(look)), latest)
        found.append(look)
    return found


def _worked_out(book: Book, code: str) -> FirstLook | None:
    """Return the look at a code by the way that every case takes."""
    from proveout.intake.document import case_of
    from proveout.plan.advice import advise

    entry = book.words.codes.get(code)
    if entry is None:
        return None
    alone = advise(case_of({"codes": [code]}, book), book, brief=True)
    usual = tuple((book.causes[one.cause].title, one.confidence) for one in alone.hypotheses[:USUAL])
    step = book.inspections[alone.next.inspection] if alone.next else None
    first = (step.title, step.id) if step else None
    return FirstLook(entry.meaning, entry.does_not_mean, usual, first, "" if usual else entry.unweighed)


def _read(note: str) -> FirstLook | None:
    """Return the look that a note holds, or None where it does not hold what it was given."""
    data = unsealed(note)
    if data is None:
        return None
    try:
        return msgspec.json.decode(data, type=FirstLook)
    except msgspec.MsgspecError:  # of another form
        return None
