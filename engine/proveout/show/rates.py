"""What an answer owes to a base rate, in words and as a document."""

from __future__ import annotations

from math import isfinite
from typing import Any

from proveout.measure.display import rounded
from proveout.model.advice import Triage
from proveout.model.belief import RateDoubt
from proveout.model.book import Book
from proveout.show.figures import cause_title, percent
from proveout.text.lowered import lowered

#: A rate that must be further off than this to matter is known well enough.
_FAR = 1000.0


def rate_doubt(triage: Triage, book: Book, cause: str) -> str:
    """Say how well the base rate of a cause in play is known, and how far off it must be to matter."""
    doubt = _of(triage, cause)
    if not doubt.off:
        return f"How well it is known is not stated. {_turn(triage, doubt, book)}"
    held = "holds" if doubt.turns > doubt.off else "does not hold"
    return (
        f"It is known to a factor of {doubt.off:g}: that much lower or higher, the confidence would be "
        f"{percent(doubt.less)} or {percent(doubt.more)}, and which cause leads {held}. "
        f"{_turn(triage, doubt, book)}"
    )


def rate_document(triage: Triage, cause: str) -> dict[str, Any]:
    """Return the same as plain JSON; ``turns`` is null where no factor changes the lead."""
    doubt = _of(triage, cause)
    return {
        "off": doubt.off or None,
        "less": doubt.less,
        "more": doubt.more,
        "turns": doubt.turns if isfinite(doubt.turns) else None,
        "leads": doubt.leads,
    }


def _of(triage: Triage, cause: str) -> RateDoubt:
    """Return the doubt of a cause in play."""
    return next(one for one in triage.sensitivity.rates if one.cause == cause)


def _turn(triage: Triage, doubt: RateDoubt, book: Book) -> str:
    """Say by how much a rate may be off before another cause leads."""
    leads = triage.hypotheses[0].cause == doubt.cause
    if doubt.turns > _FAR:
        return f"However far off it is, this {'leads' if leads else 'does not lead'}."
    times = rounded(doubt.turns, 2)
    if not leads:
        return f"It would have to be {times} times higher for this to lead."
    other = (
        lowered(cause_title(book, doubt.leads)) if doubt.leads else "something that the book does not have"
    )
    return f"It would have to be {times} times lower for another to lead: {other}."
