"""The steps in use as tables that a plan is followed with."""

from __future__ import annotations

import numpy as np

from proveout.plan.moves import SLACK
from proveout.plan.problem import Bools, Ints, Problem, indices, widened
from proveout.plan.steps import Steps

#: A step that ends this far below the threshold of proof mends nothing. Were the threshold itself the edge,
#: any idle look that moves a confidence across it would seem worth a fortune.
FADE = 0.1
#: Stands in for that where the threshold is an edge.
SHARP = 1e-15
#: Added to what may be nothing and is divided by.
TINY = 1e-9
#: Longest plan; the steps beyond it concern causes too unlikely to matter.
LONGEST = 40
#: A row of which less than this share is left is planned no further: the rest is taken as handed over.
REMNANT = 0.002
#: A step whose chance over cost is no more than this gains nothing: what is left of its chances is rounding.
NOTHING = 1e-12


class Used:
    """What the plans need of the M steps in use: chances, prices, and what one takes from the others.

    Mass moves among the S sets; column S is empty, and what is left where nothing is comes to rest nowhere.

    Attributes:
        count: M.
        cause: (M,) the cause that each step mends.
        hits: (M, S + 1) share of each set's mass that a step finds, where it holds the step's cause.
        leaves: (M, S + 1) what each set becomes once the cause of a step is mended.
        chances: (S + 1, 2M + 2) what a unit of mass gives to the chance that each step finds its cause, to
            the chance that all its checks speak for it, to the mass, and to the cost of handing over.
        slope, level: (M,) the share that a step mends by the confidence that it ends with.
        barred: (M, M) the steps that each ends.
        checks: the checks that any of the steps makes.
        prices: (checks + A, 3M) what each check and access costs where a step begins, once its cause is
            shown, and where it mends; ``fixed`` (3M,) is to be added.
        shared: the checks and accesses that several steps have in common.
        takes: (M, shared) which of them each step makes or opens.
        shared_prices: (shared, 3M) their rows of ``prices``.
    """

    def __init__(self, problem: Problem, steps: Steps, use: Ints) -> None:
        sets, cause = problem.sets, steps.cause[use]
        count, size = len(use), len(sets)
        support = steps.support[use]
        self.count, self.cause = count, cause
        self.hits = widened(support * sets.held.T[cause])
        self.leaves = np.hstack([sets.leaves[cause], np.full((count, 1), size)])
        self.chances = np.zeros((size + 1, 2 * count + 2))
        self.chances[:size, :count] = self.hits[:, :size].T
        self.chances[:size, count:-2] = (support + TINY * TINY).T
        self.chances[:size, -2] = 1.0
        self.chances[:size, -1] = problem.refer
        fade = np.where(steps.shown[use], SHARP, FADE)
        self.slope, self.level = 1.0 / fade, 1.0 - (problem.threshold[cause] - SLACK) / fade
        self.barred = _barred(steps, use)
        front, back = steps.front[use], steps.back[use]
        self.checks = indices((front | back).any(axis=0))
        self.takes = np.hstack([front[:, self.checks], steps.front_access[use]]).astype(float)
        later = np.hstack([back[:, self.checks], steps.back_access[use]])
        mending = np.hstack([np.zeros((count, len(self.checks)), dtype=bool), steps.repair_access[use]])
        amount = np.concatenate([problem.cost[self.checks], problem.access])
        self.prices = np.concatenate([self.takes, later, mending]).T * amount[:, None]
        self.fixed = np.concatenate([np.full(count, TINY), np.zeros(count), problem.repair[cause]])
        touched = (self.takes > 0) | later | mending
        apart = (self.takes.T @ ~self.barred) * touched.T
        self.shared = indices((apart > 0).any(axis=1))
        self.takes = self.takes[:, self.shared]
        self.shared_prices = self.prices[self.shared]


def _barred(steps: Steps, use: Ints) -> Bools:
    """Return (M, M): steps that end each other's use: same cause, resting on the result of the same check."""
    made = indices((steps.front | steps.needs)[use].any(axis=0))
    front, needs = (part[use][:, made].astype(np.float32) for part in (steps.front, steps.needs))
    late = needs * steps.shown[use, None]
    shared = front @ (front + needs).T + needs @ front.T + late @ late.T > 0
    same = steps.cause[use, None] == steps.cause[None, use]
    return np.asarray((same & shared) | np.eye(len(use), dtype=bool))
