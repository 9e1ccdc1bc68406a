"""A last look before a part is bought: what could still talk one out of it is inspected first.

A needless part costs more than its price: the fault is still there. How much more the standard of proof says
itself: to buy at a confidence of t, and not below, holds a needless part for t / (1 - t) times as bad as a
needed one that is put off, nine times at 0.9. The frequencies behind that confidence are themselves known to
a factor only, so that it counts a quarter more. So the dearer the part and the work of fitting it, the more
is worth inspecting before; and what no result could change delays nothing, however cheap it is. Nor is a
plain defect argued with that is cheap and harmless to put right.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from proveout.model.advice import Hypothesis
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.plan.lookahead import Choice
from proveout.plan.mending import may_mend
from proveout.plan.moves import SLACK, prices, ready
from proveout.plan.problem import Floats, Problem, States
from proveout.plan.setup import Setup

#: What saves less than this share of the price of handing over is not worth the bother. The plan's own noise
#: (``lookahead.NOISE``) does not enter here: only the results of one check do.
LEAST = 0.01
#: How many times likelier "needless" is held to be than the book's frequencies make it, since these are known
#: to a factor only. In simulation with each off by up to two, 51 of 62 cases that had bought a needless part
#: did so again, and 120 that went well cost no more; at 1.5 it was 49, and those 120 cost 3 % more.
DOUBT = 1.25


class LastLook(Struct, frozen=True):
    """An inspection to be made before a part is bought.

    Attributes:
        check: its index.
        cause: id of the proven cause whose part would be bought.
        times: how many times its price a needless part counts, by the standard of proof and the doubt.
        worth: what it saves beyond its price, a needless part counted so.
    """

    check: int
    cause: str
    times: float
    worth: float


def last_look(
    book: Book, sheet: Sheet, setup: Setup, choice: Choice, hypotheses: Iterable[Hypothesis], costs: Costs
) -> LastLook | None:
    """Return what is worth inspecting before the part for what is proven is bought, or None; ties by id."""
    problem, state = setup.problem, setup.state
    if choice.check >= 0 or choice.mend < 0:
        return None
    lead = next(one for one in hypotheses if one.cause == problem.causes[choice.mend])
    if not _buys(book, lead.cause) or may_mend(book, sheet, lead, costs):
        return None
    times = counted(float(problem.threshold[choice.mend]))
    saved = problem.repair[choice.mend] * parts_saved(problem, state, choice.mend)
    worth = np.where(ready(problem, state)[0], saved - prices(problem, state)[0], 0.0).round(9)
    best = int(worth.argmax())
    if worth[best] <= LEAST * choice.refer:
        return None
    return LastLook(best, lead.cause, times, float(worth[best]))


def counted(standard: float) -> float:
    """Return how many times as bad as a needed part put off a needless one counts, the doubt counted in."""
    return DOUBT * standard / (1.0 - standard)


def with_look(choice: Choice, look: LastLook) -> Choice:
    """Return a choice to mend a cause with the look that comes before it."""
    values = {**choice.values, look.check: choice.stop - look.worth}
    others = tuple(check for check in choice.others if check != look.check)
    return replace(choice, check=look.check, values=values, others=others)


def parts_saved(problem: Problem, state: States, cause: int) -> Floats:
    """Return (I,): what each check saves by keeping one from a needless part, in prices of the repair.

    The state has one row. A result counts where it takes the cause below its standard of proof, needless as
    likely as it may be, less the chance that the part is needed all the same.
    """
    standard = float(problem.threshold[cause]) - SLACK
    needed = (state.weight[0] * problem.sets.held[:, cause]) @ problem.like
    needless = state.weight[0] @ problem.like - needed
    saved = np.maximum(needless * counted(standard) - needed, 0.0)
    return np.asarray(np.add.reduceat(saved, problem.first[:-1]) / float(state.mass[0]))


def _buys(book: Book, cause: str) -> bool:
    remedy = book.causes[cause].remedy
    return remedy.action == "replace" and remedy.part_cost.high > 0
