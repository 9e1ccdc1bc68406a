"""Whether an inspection already made is worth making once more before the case is handed over.

A look can miss what is there. When everything else has been cleared and nothing is proven, the fault hides
behind one of the results that were believed; a technician then repeats the one likeliest to have missed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from proveout.model.case import Sheet
from proveout.plan.ecr import expected_cost
from proveout.plan.job import Floats, Job, States
from proveout.plan.lay import Laid
from proveout.plan.look import WORTH, plan_steps
from proveout.plan.move import price
from proveout.plan.plans import Steps
from proveout.plan.proof import clear_results

#: Chance that a second look is a fresh one; otherwise what misled the first misleads it again, as a fault
#: that is away just now does (from memory).
FRESH = 0.5
#: Stands in for what is impossible, so that it can be divided by.
LEAST = 1e-15


@dataclass(frozen=True, slots=True)
class Repeat:
    """An inspection worth repeating.

    Attributes:
        check: its index.
        saving: what the second look saves beyond its cost.
        share: (R,) probability of each result of it.
        weight: (R, S) mass of each set of causes once that result counts instead of the first.
    """

    check: int
    saving: float
    share: Floats
    weight: Floats


def worth_repeating(laid: Laid, sheet: Sheet) -> Repeat | None:
    """Give the inspection whose second look has the best chance over price, or None; ties by id.

    Each is repeated once at most, and only where it then saves more than it costs against handing over.
    """
    job, state = laid.job, laid.state
    clear = clear_results(sheet)
    steps = plan_steps(job, state)
    best: tuple[float, Repeat] | None = None
    for check in np.flatnonzero(state.done[0] & job.usable).tolist():
        name = job.checks[check]
        if name in sheet.repeated or not job.shows[check].any():
            continue
        found = _second_look(job, steps, state, check, laid.columns[check].get(clear.get(name, ""), -1))
        cost = max(float(price(job, state, check)[0]), WORTH)
        ratio = round((found.saving + cost) / cost, 9)
        if found.saving > WORTH and (best is None or ratio > best[0]):
            best = ratio, found
    return best[1] if best else None


def _second_look(job: Job, steps: Steps, state: States, check: int, first: int) -> Repeat:
    """Value a second look; ``first`` is the column of the first result, or -1 where it told nothing."""
    like = job.like[check]
    before = state.weight[0] / state.mass[0]
    weight = (before / np.maximum(like[:, first], LEAST) if first >= 0 else before) * like.T
    weight /= np.maximum(weight.sum(axis=1, keepdims=True), LEAST)
    share = before @ like
    if first >= 0:
        weight[first] = before
        share *= FRESH
        share[first] += 1.0 - FRESH
    then = _states_after(job, state, check, first, weight)
    saved = weight @ job.refer - expected_cost(job, steps, then)
    return Repeat(check, float(share @ saved - price(job, state, check)[0]), share, weight)


def _states_after(job: Job, state: States, check: int, first: int, weight: Floats) -> States:
    """Give a row for each result of the second look, which counts instead of the first."""
    shows, rows = job.shows[check], len(weight)
    failed = state.failed & ~shows[:, first] if first >= 0 else state.failed
    decided = state.decided.copy()
    decided[0, check] = True
    return States(
        weight,
        np.repeat(state.done, rows, axis=0),
        np.repeat(decided, rows, axis=0),
        np.repeat(state.open, rows, axis=0),
        failed | shows.T,
    )
