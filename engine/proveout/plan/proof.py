"""The standard of proof: when a cause counts as proven, and what is missing where it does not."""

from __future__ import annotations

from proveout.model.advice import Standing
from proveout.model.atom import CANNOT_TELL, REPLACED, RESULT, Atom
from proveout.model.belief import Posterior
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.entries import Cause
from proveout.plan.moves import SLACK

#: Confidences are compared to this many digits, so that rounding never decides an order.
DIGITS = 12

#: More likely than not.
EVEN = 0.5


def clear_results(sheet: Sheet) -> dict[str, str]:
    """Give the result of each inspection that gave a clear one; the sheet holds the latest of each."""
    return {
        o.observable.key: o.decided
        for o in sheet.observations
        if o.observable.kind == RESULT and o.decided is not None and o.decided != CANNOT_TELL
    }


def standings(book: Book, sheet: Sheet, facts: frozenset[Atom], posterior: Posterior) -> tuple[Standing, ...]:
    """Say how every cause in play stands, the most likely first, ties by id."""
    clear = clear_results(sheet)
    found = [
        _standing(book, clear, facts, cause, confidence)
        for cause, confidence in posterior.confidence().items()
    ]
    return tuple(sorted(found, key=lambda s: (-round(s.confidence, DIGITS), s.cause)))


def _standing(
    book: Book, clear: dict[str, str], facts: frozenset[Atom], cause: str, confidence: float
) -> Standing:
    entry = book.causes[cause]
    return Standing(
        cause,
        confidence,
        direct(book, clear, cause),
        tuple(check for check in entry.before_buying if check not in clear),
        Atom(REPLACED, entry.component, "done") in facts,
    )


def direct(book: Book, clear: dict[str, str], cause: str) -> str:
    """Give what the proving inspections said: ``failed`` if one shows it, else ``passed`` or ``none``."""
    made = [check for check in book.proved_by.get(cause, ()) if check in clear]
    if any(clear[check] in book.inspections[check].proves[cause] for check in made):
        return "failed"
    return "passed" if made else "none"


def threshold(cause: Cause, costs: Costs) -> float:
    """Give the confidence from which a cause may count as proven.

    Where nothing is bought and nothing touched, being more likely than not is enough: the worst that a wrong
    "nothing wrong now" can cost is that the code comes back.
    """
    return min(costs.threshold, EVEN) if cause.remedy.action == "nothing" else costs.threshold


def is_proven(book: Book, standing: Standing, costs: Costs) -> bool:
    """Say whether a cause may be mended, further inspections not being worth their cost."""
    sure = standing.confidence >= threshold(book.causes[standing.cause], costs) - SLACK
    return sure and standing.direct == "failed" and not standing.missing
