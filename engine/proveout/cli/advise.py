"""The whole way from a case to its triage, as several commands need it."""

from __future__ import annotations

from proveout.intake import sheet_of
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.case import Case, Sheet
from proveout.plan import triage


def advise(case: Case, book: Book, engine: str | None = None, sheet: Sheet | None = None) -> Triage:
    """Return the triage of a case. It holds figures and texts as written; ``show`` puts it in other units.

    Args:
        case: what is known.
        book: the rules.
        engine: name of the chainer; the default one where left out.
        sheet: of the case, where it was made already.

    Raises:
        BadInputError: a reading of the case cannot be used.
    """
    known = sheet_of(case, book) if sheet is None else sheet
    return triage(book, known, tools=frozenset(case.tools), costs=case.costs, engine=engine)
