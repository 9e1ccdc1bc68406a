"""Gathers the readings of a case so that they can be shown and drawn."""

from __future__ import annotations

from proveout.intake import judged
from proveout.measure import Judged
from proveout.measure.display import AS_WRITTEN
from proveout.model.book import Book
from proveout.model.case import Case


def judgements(case: Case, book: Book, display: str = AS_WRITTEN) -> list[tuple[str, Judged]]:
    """Give (title of the inspection, what its reading says) for every reading of a case, in order."""
    found = (
        (book.inspections[taken.inspection].title, judged(taken, case, book, display)) for taken in case.taken
    )
    return [(title, says) for title, says in found if says is not None]
