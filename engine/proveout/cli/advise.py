"""The whole way from a case to its triage, as several commands need it."""

from __future__ import annotations

from proveout.intake import sheet_of
from proveout.measure.display import AS_WRITTEN
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.case import Case
from proveout.plan import triage


def advise(case: Case, book: Book, engine: str | None = None, display: str = AS_WRITTEN) -> Triage:
    """Give the triage of a case.

    Args:
        case: what is known.
        book: the rules.
        engine: name of the chainer; the default one where left out.
        display: preference for the units in texts. What is recorded or given as JSON is made without one.

    Raises:
        BadInputError: a reading of the case cannot be used.
    """
    sheet = sheet_of(case, book, display)
    return triage(book, sheet, tools=frozenset(case.tools), costs=case.costs, engine=engine)
