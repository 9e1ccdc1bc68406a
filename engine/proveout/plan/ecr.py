"""Expected cost of repair: what a case will still cost if it is worked through by one simple plan.

The plan takes the causes by chance over cost (Simon and Kadane 1975; Heckerman, Breese and Rommelse 1995),
here over sets of causes and with inspections that can miss or mislead, and hands the case over at whatever
point is cheapest. It is the yardstick of the lookahead, and never more than handing the case over now.
"""

from __future__ import annotations

import numpy as np

from proveout.plan.compiled import row_by_row
from proveout.plan.problem import Bools, Floats, Ints, Problem, States, indices
from proveout.plan.side_by_side import side_by_side
from proveout.plan.steps import Steps
from proveout.plan.used import Used


def expected_cost(problem: Problem, steps: Steps, states: States, usable: Bools | None = None) -> Floats:
    """Return (B,): cost of the plan times the row's mass (so that branches add up).

    ``usable`` (P, I) says for each history what is at hand, where that is not the same for all.
    """
    return work_through(problem, steps, states, usable)[0]


def work_through(
    problem: Problem, steps: Steps, states: States, usable: Bools | None = None
) -> tuple[Floats, Ints]:
    """Return the expected cost (B,) as above, and the first step (B,) of each row's plan, -1 for none."""
    fits = _fits(problem, steps, states, problem.usable if usable is None else usable)
    use = indices(fits.any(axis=0))
    # A row without mass has no chances: its figures are no numbers, and it ends at once.
    with np.errstate(invalid="ignore"):
        if not use.size:
            return np.asarray(states.weight @ problem.refer), np.full(len(fits), -1)
        follow = row_by_row or side_by_side
        best, first = follow(Used(problem, steps, use), states, fits[:, use])
    return best, np.append(use, -1)[first]


def planned(problem: Problem, steps: Steps, states: States, usable: Bools | None = None) -> Bools:
    """Return (B, I): the checks of the steps that fit each row, or will once a cause is shown."""
    fits = _fits(problem, steps, states, problem.usable if usable is None else usable)
    makes = (steps.front | steps.back).astype(np.float32)
    chosen = np.zeros((len(fits), len(problem.causes)), dtype=bool)
    rows, used = (fits & ~steps.shown).nonzero()
    chosen[rows, steps.cause[used]] = True
    fits |= steps.shown & chosen[:, steps.cause]
    return np.asarray(fits.astype(np.float32) @ makes > 0)


def first_checks(steps: Steps, state: States, step: int) -> Ints:
    """Return the inspections that a step makes first in a one-row state; none for step -1."""
    if step >= 0:
        for made in (steps.front[step], steps.back[step]):
            still = indices(made & ~state.done[0])
            if still.size:
                return still
    return np.zeros(0, dtype=np.int64)


def _fits(problem: Problem, steps: Steps, states: States, usable: Bools) -> Bools:
    """Return (B, M): steps that fit the row: everything needed can be made, what is made is as prepared."""
    involved = indices((steps.front | steps.back).any(axis=0))
    front, back = steps.front[:, involved], steps.back[:, involved]
    undone = ~states.done[:, involved]
    barred = undone & ~usable[..., involved]
    untold = states.done[:, involved] & ~states.decided[:, involved]
    wrong = _overlap(undone, steps.ready[:, involved]) | _overlap(~undone, steps.needs[:, involved])
    wrong |= _overlap(barred, front | back) | _overlap(untold, problem.buying[steps.cause][:, involved])
    fits = (~wrong & (steps.shown | _overlap(undone, front)))[states.history]
    fits[:, steps.shown] &= states.failed[:, steps.cause[steps.shown]]
    return np.asarray(fits)


def _overlap(left: Bools, right: Bools) -> Bools:
    """Return (P, M): whether rows of the one (P, I) and the other (M, I) have an entry in common."""
    return np.asarray(left.astype(np.float32) @ right.T.astype(np.float32) > 0)
