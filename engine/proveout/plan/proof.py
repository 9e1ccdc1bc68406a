"""The standard of proof: when a cause counts as proven, and what is missing where it does not."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.model.advice import Hypothesis
from proveout.model.atom import CANNOT_TELL, REPLACED, RESULT, Atom
from proveout.model.belief import Posterior
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.entries import Cause
from proveout.plan.moves import SLACK
from proveout.plan.parts import Claim, Claims

#: Confidences are compared to this many digits, so that rounding never decides an order.
DIGITS = 12

#: More likely than not.
EVEN = 0.5


def clear_results(sheet: Sheet) -> dict[str, str]:
    """Return the result of each inspection that gave a clear one; the sheet holds the latest of each."""
    return {
        o.observable.key: o.decided
        for o in sheet.observations
        if o.observable.kind == RESULT and o.decided is not None and o.decided != CANNOT_TELL
    }


def claims(
    book: Book, sheet: Sheet, facts: frozenset[Atom], posterior: Posterior, costs: Costs
) -> tuple[Claim, ...]:
    """Return what proving each cause in play takes, in the order of ``posterior.causes``."""
    return Claims(book, sheet, clear_results(sheet), facts, posterior, costs).all()


def hypotheses_of(
    book: Book, sheet: Sheet, facts: frozenset[Atom], posterior: Posterior, claimed: Iterable[Claim]
) -> tuple[Hypothesis, ...]:
    """Say how every cause in play stands, the most likely first, ties by id."""
    clear, sure = clear_results(sheet), posterior.confidence()
    mended = {one.cause for one in sheet.mended}
    found = [
        Hypothesis(
            claim.cause,
            sure[claim.cause],
            claim.direct,
            tuple(check for check in claim.needed if check not in clear),
            Atom(REPLACED, book.causes[claim.cause].component, "done") in facts,
            claim.confidence,
            claim.counted[1:],
            claim.roots,
            claim.cause in mended,
        )
        for claim in claimed
    ]
    return tuple(sorted(found, key=lambda s: (-round(s.confidence, DIGITS), s.cause)))


def threshold(cause: Cause, costs: Costs) -> float:
    """Return the confidence from which a cause may count as proven.

    Where nothing is bought and nothing touched, being more likely than not is enough: the worst that a wrong
    "nothing wrong now" can cost is that the code comes back.
    """
    return min(costs.threshold, EVEN) if cause.remedy.action == "nothing" else costs.threshold


def is_proven(book: Book, hypothesis: Hypothesis, costs: Costs) -> bool:
    """Say whether a cause may be mended, further inspections not being worth their cost."""
    sure = hypothesis.part >= threshold(book.causes[hypothesis.cause], costs) - SLACK
    return sure and hypothesis.direct == "failed" and not hypothesis.missing and not hypothesis.mended
