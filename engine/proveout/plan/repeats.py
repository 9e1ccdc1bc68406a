"""Whether an inspection already made is worth making once more before the case is handed over.

An inspection can miss what is there. When everything else has been cleared and nothing is proven, the fault
hides behind one of the results that were believed; a technician then repeats the one likeliest to have
missed.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from proveout.model.case import Sheet
from proveout.plan.ecr import expected_cost
from proveout.plan.moves import prices
from proveout.plan.outlook import WORTH
from proveout.plan.problem import Floats, Problem, States, indices, stack
from proveout.plan.proof import clear_results
from proveout.plan.setup import Setup
from proveout.plan.steps import plan_steps

#: Chance that a repeated inspection is a fresh one; otherwise what misled the first misleads it again, as a
#: fault that is away just now does (from memory).
FRESH = 0.5
#: Stands in for what is impossible, so that it can be divided by.
LEAST = 1e-15


class Repeat(Struct, frozen=True):
    """An inspection worth repeating.

    Attributes:
        check: its index.
        saving: what the repeat saves beyond its cost.
        share: (R,) probability of each result of it.
        weight: (R, S) mass of each set of causes once that result counts instead of the first.
    """

    check: int
    saving: float
    share: Floats
    weight: Floats


def worth_repeating(setup: Setup, sheet: Sheet) -> Repeat | None:
    """Return the inspection whose repeat has the best chance over price, or None; ties by id.

    Each is repeated once at most, and only where it then saves more than it costs against handing over.
    """
    problem, state = setup.problem, setup.state
    clear = clear_results(sheet)
    price = prices(problem, state)[0]
    best: tuple[float, Repeat] | None = None
    for found in _repeats(setup, _candidates(problem, state, sheet.repeated), clear):
        cost = max(float(price[found.check]), WORTH)
        ratio = round((found.saving + cost) / cost, 9)
        if found.saving > WORTH and (best is None or ratio > best[0]):
            best = ratio, found
    return best[1] if best else None


def repeat_of(setup: Setup, sheet: Sheet, inspection: str) -> Repeat | None:
    """Return the repeat of an inspection that was made, whatever it saves; None where it was set aside."""
    if inspection not in setup.problem.checks or inspection in sheet.set_aside:
        return None
    check = setup.problem.checks.index(inspection)
    return _repeats(setup, [check], clear_results(sheet))[0]


def _candidates(problem: Problem, state: States, repeated: frozenset[str]) -> list[int]:
    """Return the checks that were made, show something directly and were not repeated yet."""
    shows = np.logical_or.reduceat(problem.shows.any(axis=0), problem.first[:-1])
    made = indices(state.done[0] & problem.usable & shows).tolist()
    return [check for check in made if problem.checks[check] not in repeated]


def _repeats(setup: Setup, checks: list[int], clear: dict[str, str]) -> list[Repeat]:
    """Value the repeat of some checks."""
    if not checks:
        return []
    problem, state = setup.problem, setup.state
    columns = [setup.columns[check].get(clear.get(problem.checks[check], ""), -1) for check in checks]
    drawn = [_drawn(problem, state, check, column) for check, column in zip(checks, columns, strict=True)]
    after = [
        _after(problem, state, check, column, weight)
        for check, column, (_, weight) in zip(checks, columns, drawn, strict=True)
    ]
    cost = expected_cost(problem, plan_steps(problem, state), stack(after))
    price, start, found = prices(problem, state)[0], 0, []
    for check, (share, weight) in zip(checks, drawn, strict=True):
        saved = weight @ problem.refer - cost[start : start + len(weight)]
        found.append(Repeat(check, float(share @ saved - price[check]), share, weight))
        start += len(weight)
    return found


def _drawn(problem: Problem, state: States, check: int, first: int) -> tuple[Floats, Floats]:
    """Return the share (R,) of each result of a repeat and the weights (R, S) that follow from it.

    ``first`` is the place of the first result among the check's, or -1 where it told nothing.
    """
    like = problem.like[:, problem.results(check)]
    before = state.weight[0] / state.mass[0]
    weight = (before / np.maximum(like[:, first], LEAST) if first >= 0 else before) * like.T
    weight /= np.maximum(weight.sum(axis=1, keepdims=True), LEAST)
    share = before @ like
    if first >= 0:
        weight[first] = before
        share *= FRESH
        share[first] += 1.0 - FRESH
    return share, weight


def _after(problem: Problem, state: States, check: int, first: int, weight: Floats) -> States:
    """Return a row for each result of the repeat, which counts instead of the first."""
    shows = problem.shows[:, problem.results(check)]
    failed = state.failed & ~shows[:, first] if first >= 0 else state.failed
    decided = state.decided.copy()
    decided[0, check] = True
    history = np.zeros(len(weight), dtype=np.int64)
    return States(weight, failed | shows.T, history, state.done, decided, state.open)
