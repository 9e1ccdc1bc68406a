"""Mend and watch: what is plainly broken, cheap and harmless to put right is put right, proven or not.

The standard of proof guards what is bought; it is no reason to leave a hose off. What is offered rests on
what was seen, never on how likely a cause is, and so cannot become a way of replacing parts on suspicion.
Whether the trouble then stays away is evidence.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from proveout.model.advice import Hypothesis
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.entries import Inspection, Remedy
from proveout.plan.lookahead import NOISE, Choice, mended_cost
from proveout.plan.proof import clear_results
from proveout.plan.setup import Setup

#: Most that it may cost, as a share of a specialist's search, and take, in minutes with what is to be opened;
#: and most that it may take where all else that is left is to hand the case over.
SHARE, MINUTES, LAST_MINUTES = 0.1, 30.0, 60.0
#: Clearing the code and reading it again, in minutes.
WATCHING = 10.0
#: What puts something right without coding it, and can be undone without loss.
HARMLESS = frozenset({"replace", "repair", "clean", "tighten", "clear-passage"})


class Mending(Struct, frozen=True):
    """A defect worth putting right.

    Attributes:
        cause: id.
        cost: expected cost of the whole case, begun with it.
        minutes: most that such a mending may take here.
    """

    cause: str
    cost: float
    minutes: float


def most(costs: Costs) -> float:
    """Return the most that the parts of a mending may cost."""
    return SHARE * costs.refer_out


def watching(costs: Costs) -> float:
    """Return what watching costs."""
    return WATCHING * costs.per_hour / 60.0


def may_mend(
    book: Book, sheet: Sheet, hypothesis: Hypothesis, costs: Costs, minutes: float = MINUTES
) -> bool:
    """Say whether a defect was seen directly, and is cheap and harmless to put right in so many minutes."""
    remedy = book.causes[hypothesis.cause].remedy
    return (
        hypothesis.direct == "failed"
        and not hypothesis.mended
        and not hypothesis.roots
        and _harmless(book, remedy)
        and remedy.part_cost.high <= most(costs)
        and remedy.minutes + sum(book.words.access[place].minutes for place in remedy.access) <= minutes
        and _seen(book, sheet, hypothesis.cause, remedy)
    )


def _harmless(book: Book, remedy: Remedy) -> bool:
    known = book.words.cautions
    return remedy.action in HARMLESS and not any(known[c].grave for c in remedy.cautions if c in known)


def _seen(book: Book, sheet: Sheet, cause: str, remedy: Remedy) -> bool:
    """Say whether a look showed the defect; where nothing is bought, any inspection that none contradicts."""
    clear = clear_results(sheet)
    made = [book.inspections[check] for check in book.proved_by.get(cause, ()) if check in clear]
    shown = [entry for entry in made if clear[entry.id] in entry.proves[cause]]
    if any(entry.kind == "visual" for entry in shown):
        return True
    plain = bool(shown) and all(entry.kind != "swap" for entry in shown)
    return plain and remedy.part_cost.high == 0 and not any(_normal(entry, clear[entry.id]) for entry in made)


def _normal(entry: Inspection, result: str) -> bool:
    return any(one.normal for one in entry.results if one.id == result)


def worth_mending(
    book: Book, sheet: Sheet, setup: Setup, choice: Choice, hypotheses: Iterable[Hypothesis], costs: Costs
) -> Mending | None:
    """Return the defect to put right next, or None where an inspection or a proven repair comes first.

    Where nothing else is worth its cost, what is plainly broken is put right before the case is handed over,
    however unlikely it is to be the whole of the trouble.
    """
    best = _best(book, sheet, setup, choice, hypotheses, costs, MINUTES)
    if best and (choice.check < 0 or best.cost <= choice.values[choice.check] + NOISE * choice.refer):
        return best
    return None


def last_mending(
    book: Book, sheet: Sheet, setup: Setup, choice: Choice, hypotheses: Iterable[Hypothesis], costs: Costs
) -> Mending | None:
    """Return the defect to put right where nothing else is left but to hand the case over, or None."""
    if choice.check >= 0:
        return None
    return _best(book, sheet, setup, choice, hypotheses, costs, LAST_MINUTES)


def _best(
    book: Book,
    sheet: Sheet,
    setup: Setup,
    choice: Choice,
    hypotheses: Iterable[Hypothesis],
    costs: Costs,
    minutes: float,
) -> Mending | None:
    """Return the defect with which the case costs least, where nothing is proven."""
    if choice.mend >= 0:
        return None
    found = [
        Mending(
            one.cause,
            watching(costs) + mended_cost(setup.problem, setup.state, setup.problem.causes.index(one.cause)),
            minutes,
        )
        for one in hypotheses
        if may_mend(book, sheet, one, costs, minutes)
    ]
    return min(found, key=lambda one: (round(one.cost, 9), one.cause), default=None)
