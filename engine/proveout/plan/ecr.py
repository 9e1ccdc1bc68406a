"""Expected cost of repair: what a case will still cost if it is worked through by one simple plan.

The plan takes the causes by chance over cost (Simon and Kadane 1975; Heckerman, Breese and Rommelse 1995),
here over sets of causes and with inspections that can miss or mislead, and hands the case over at whatever
point is cheapest. It is the yardstick of the lookahead, and never more than handing the case over now.
"""

from __future__ import annotations

import numpy as np

from proveout.plan.job import Bools, Floats, Ints, Job, States
from proveout.plan.move import SLACK
from proveout.plan.plans import Steps

#: Longest plan; the steps beyond it concern causes too unlikely to matter.
LONGEST = 12
#: Below this chance of success a step is not thought of.
TINY = 1e-9


def expected_cost(job: Job, steps: Steps, states: States) -> Floats:
    """Give (B,): cost of the plan times the row's mass (so that branches add up)."""
    left = _Left(job, steps, states)
    best = left.weight @ job.refer
    for _ in range(LONGEST):
        if not left.advance():
            break
        best = np.minimum(best, left.spent + left.weight @ job.refer)
    return np.asarray(best)


class _Left:
    """What is left of each row while its plan is worked through: mass by set, money spent, what is open."""

    def __init__(self, job: Job, steps: Steps, states: States) -> None:
        self.job, self.steps = job, steps
        self.weight = states.weight.copy()
        self.spent = np.zeros(len(states.weight))
        self.shut_checks = (~states.done).astype(float)
        self.shut_access = (~states.open).astype(float)
        self.valid = _valid(job, steps, states)
        use = self.valid.any(axis=0)
        self.chosen = np.flatnonzero(use)
        self.valid = self.valid[:, use]
        self.support = steps.support[use]
        self.cause = steps.cause[use]
        self.hits = self.support * job.member.T[self.cause]
        self.front = (steps.front * job.cost)[use].T
        self.back = (steps.back * job.cost)[use].T
        self.front_access = (steps.front_access * job.access)[use].T
        self.back_access = (steps.back_access * job.access)[use].T
        self.mend_access = (steps.repair_access * job.access)[use].T
        self.clash = _clash(steps)[np.ix_(use, use)]
        self.takes = steps.front[use]
        self.opens = steps.front_access[use]

    def advance(self) -> bool:
        """Take the best step in each row that has one; say whether any row had."""
        if not self.chosen.size:
            return False
        gain = self.weight @ self.hits.T
        shown = self.weight @ self.support.T
        at_start, once_shown, mending = self._prices()
        work = self.weight.sum(axis=1)[:, None] * at_start + shown * once_shown
        wasted = (shown - gain) * mending
        sound = self.valid & (gain > TINY) & (gain >= (self.job.threshold - SLACK) * shown)
        score = np.where(sound, gain / (work + wasted + TINY), -1.0)
        pick = score.argmax(axis=1)
        rows = np.flatnonzero(score[np.arange(len(pick)), pick] > 0)
        if not rows.size:
            return False
        pick = pick[rows]
        self.spent[rows] += (work + shown * mending)[rows, pick]
        self._settle(rows, pick)
        return True

    def _prices(self) -> tuple[Floats, Floats, Floats]:
        """Give (B, M) each: price of a step's start, of its inspections before buying, of its repair."""
        at_start = self.shut_checks @ self.front + self.shut_access @ self.front_access
        once_shown = self.shut_checks @ self.back + self.shut_access @ self.back_access
        mending = self.job.repair[self.cause] + self.shut_access @ self.mend_access
        return at_start, once_shown, mending

    def _settle(self, rows: Ints, pick: Ints) -> None:
        """Move the mass that the step mends to what is left of each set, and mark what was done."""
        moved = self.weight[rows] * self.hits[pick]
        self.weight[rows] -= moved
        target = self.job.child[:, self.cause[pick]].T
        places = target.shape[1] + 1
        flat = (np.arange(len(rows))[:, None] * places + target).ravel()
        gained = np.bincount(flat, moved.ravel(), len(rows) * places).reshape(len(rows), places)
        self.weight[rows] += gained[:, :-1]
        self.shut_checks[rows] *= ~self.takes[pick]
        self.shut_access[rows] *= ~self.opens[pick]
        self.valid[rows] &= ~self.clash[pick]


def _clash(steps: Steps) -> Bools:
    """Give (M, M): steps that end each other's use: same cause, resting on the result of the same check."""
    front, needs = steps.front.astype(float), steps.needs.astype(float)
    late = needs * steps.shown[:, None]
    shared = front @ front.T + front @ needs.T + needs @ front.T + late @ late.T > 0
    same = steps.cause[:, None] == steps.cause[None, :]
    return np.asarray((same & shared) | np.eye(len(steps.cause), dtype=bool))


def _valid(job: Job, steps: Steps, states: States) -> Bools:
    """Give (B, M): steps that fit the row: everything needed can be made, what is made is as prepared."""
    undone, done = (~states.done).astype(float), states.done.astype(float)
    settled = (steps.watched & ~steps.needs).astype(float)
    mismatch = undone @ settled.T + done @ steps.needs.astype(float).T
    blocked = undone @ ((steps.front | steps.back) & ~job.usable).astype(float).T
    lost = (states.done & ~states.decided).astype(float) @ job.buying[steps.cause].astype(float).T
    begins = np.where(steps.shown, states.failed[:, steps.cause], undone @ steps.front.astype(float).T > 0)
    return np.asarray((mismatch + blocked + lost == 0) & begins)
