"""The whole way from a case to its triage, as several commands need it."""

from __future__ import annotations

from proveout.intake import sheet_of
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.case import Case
from proveout.plan import triage


def advise(case: Case, book: Book, engine: str | None = None) -> Triage:
    """Give the triage of a case.

    Raises:
        BadInputError: a reading of the case cannot be used.
    """
    return triage(book, sheet_of(case, book), tools=frozenset(case.tools), costs=case.costs, engine=engine)
