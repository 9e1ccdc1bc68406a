"""Expected cost of repair: what a case will still cost if it is worked through by one simple plan.

The plan takes the causes by chance over cost (Simon and Kadane 1975; Heckerman, Breese and Rommelse 1995),
here over sets of causes and with inspections that can miss or mislead, and hands the case over at whatever
point is cheapest. It is the yardstick of the lookahead, and never more than handing the case over now.
"""

from __future__ import annotations

import numpy as np
from threadpoolctl import ThreadpoolController

from proveout.plan.job import Bools, Floats, Ints, Job, States
from proveout.plan.move import SLACK
from proveout.plan.plans import Steps

#: Longest plan; the steps beyond it concern causes too unlikely to matter.
LONGEST = 40
#: A row of which less than this share is left is planned no further: the rest is taken as handed over.
REMNANT = 0.002
#: A step that ends this far below the threshold of proof mends nothing. Were the threshold itself the edge,
#: any idle look that moves a confidence across it would seem worth a fortune.
FADE = 0.1
#: Below this chance of success a step is not thought of.
TINY = 1e-9
#: Matrix products of this size cost more spread over threads than on one, and the last digits may then change
#: from run to run.
BLAS = ThreadpoolController()


def expected_cost(job: Job, steps: Steps, states: States) -> Floats:
    """Give (B,): cost of the plan times the row's mass (so that branches add up)."""
    best = np.asarray(states.weight @ job.refer)
    with BLAS.limit(limits=1, user_api="blas"):
        left = _Left(job, steps, states)
        for _ in range(LONGEST):
            if not left.advance():
                break
            best[left.row] = np.minimum(best[left.row], left.spent + left.weight @ job.refer)
    return best


def first_checks(job: Job, steps: Steps, state: States) -> Ints:
    """Give the inspections that the plan makes first in a one-row state; none where it has no step."""
    left = _Left(job, steps, state)
    if left.advance() and left.first is not None:
        step = left.use[left.first]
        for made in (steps.front[step], steps.back[step]):
            open_ones = np.flatnonzero(made & ~state.done[0])
            if open_ones.size:
                return open_ones
    return np.zeros(0, dtype=np.int64)


class _Left:
    """What is left of each row while its plan is worked through: mass by set, money spent, what is open.

    Rows whose plan has come to its end are dropped; ``row`` says which of the first ones are left.
    """

    def __init__(self, job: Job, steps: Steps, states: States) -> None:
        valid = _valid(job, steps, states)
        use = np.flatnonzero(valid.any(axis=0))
        self.job = job
        self.use = use
        self.first: int | None = None
        self.row = np.arange(len(states.weight))
        self.weight = states.weight.copy()
        self.enough = REMNANT * states.mass
        self.spent = np.zeros(len(states.weight))
        self.valid = valid[:, use]
        self.cause = steps.cause[use]
        self.shown = steps.shown[use]
        self.hits = steps.support[use] * job.member.T[self.cause]
        self.chances = np.concatenate([self.hits, steps.support[use]]).T.copy()
        self.clash = _clash(steps, use)
        checks = np.flatnonzero((steps.front | steps.back)[use].any(axis=0))
        self.shut_checks = (~states.done[:, checks]).astype(float)
        self.shut_access = (~states.open).astype(float)
        made = [part[np.ix_(use, checks)] * job.cost[checks] for part in (steps.front, steps.back)]
        places = (steps.front_access, steps.back_access, steps.repair_access)
        self.checks = np.concatenate(made).T.copy()
        self.places = np.concatenate([part[use] * job.access for part in places]).T.copy()
        self.takes = steps.front[np.ix_(use, checks)]
        self.opens = steps.front_access[use]

    def advance(self) -> bool:
        """Take the best step in each row that has one; say whether any row had."""
        if not self.cause.size:
            return False
        gain, shown = np.hsplit(self.weight @ self.chances, 2)
        at_start, once_shown, mending = self._prices()
        mass = self.weight.sum(axis=1)
        work = mass[:, None] * at_start + shown * once_shown
        wasted = (shown - gain) * mending
        sound = np.where(self.valid & (gain > TINY), self._soundness(gain / np.maximum(shown, TINY)), 0.0)
        score = np.where(sound > 0, sound * gain / (work + sound * wasted + TINY), -1.0)
        pick = score.argmax(axis=1)
        going = (score[np.arange(len(pick)), pick] > 0) & (mass > self.enough)
        if not going.any():
            return False
        pick = pick[going]
        if self.first is None:
            self.first = int(pick[0])
        self.spent[going] += (work + sound * shown * mending)[going, pick]
        sound = sound[going, pick]
        self._drop(going)
        self._settle(pick, sound)
        return True

    def _soundness(self, sure: Floats) -> Floats:
        """Give (B, M): share of the cases that a step mends, by the confidence (B, M) that it ends with.

        From the threshold on it is all. A little below, what is inspected on the way will often supply what
        is wanting; but once the cause is shown, a promise that no inspection keeps would never end.
        """
        short = self.job.threshold[self.cause] - SLACK - sure
        return np.asarray(np.where(self.shown, short <= 0, np.clip(1.0 - short / FADE, 0.0, 1.0)))

    def _prices(self) -> tuple[Floats, Floats, Floats]:
        """Give (B, M) each: price of a step's start, of its inspections before buying, of its repair."""
        front, back = np.hsplit(self.shut_checks @ self.checks, 2)
        first, second, last = np.hsplit(self.shut_access @ self.places, 3)
        return front + first, back + second, self.job.repair[self.cause] + last

    def _drop(self, going: Bools) -> None:
        """Keep only the rows that go on."""
        if not going.all():
            self.row, self.weight, self.enough = self.row[going], self.weight[going], self.enough[going]
            self.spent, self.valid = self.spent[going], self.valid[going]
            self.shut_checks, self.shut_access = self.shut_checks[going], self.shut_access[going]

    def _settle(self, pick: Ints, sound: Floats) -> None:
        """Move the mass that each row's step mends to what is left of each set, and mark what was done."""
        for cause in np.unique(self.cause[pick]).tolist():
            rows = np.flatnonzero(self.cause[pick] == cause)
            sets = np.flatnonzero(self.job.member[:, cause])
            moved = sound[rows, None] * self.weight[np.ix_(rows, sets)] * self.hits[np.ix_(pick[rows], sets)]
            self.weight[np.ix_(rows, sets)] -= moved
            target = self.job.child[sets, cause]
            rest = target < len(self.job.member)
            self.weight[np.ix_(rows, target[rest])] += moved[:, rest]
        self.shut_checks *= ~self.takes[pick]
        self.shut_access *= ~self.opens[pick]
        self.valid &= ~self.clash[pick]


def _clash(steps: Steps, use: Ints) -> Bools:
    """Give (M, M): steps that end each other's use: same cause, resting on the result of the same check."""
    front, needs = steps.front[use].astype(float), steps.needs[use].astype(float)
    late = needs * steps.shown[use, None]
    shared = front @ (front + needs).T + needs @ front.T + late @ late.T > 0
    same = steps.cause[use, None] == steps.cause[None, use]
    return np.asarray((same & shared) | np.eye(len(use), dtype=bool))


def _valid(job: Job, steps: Steps, states: States) -> Bools:
    """Give (B, M): steps that fit the row: everything needed can be made, what is made is as prepared."""
    undone, done = (~states.done).astype(float), states.done.astype(float)
    out_of_reach = (steps.front | steps.back) & ~job.usable
    spoilt = undone @ ((steps.watched & ~steps.needs) | out_of_reach).T.astype(float)
    made = done @ steps.needs.T.astype(float)
    lost = (states.done & ~states.decided).astype(float) @ job.buying[steps.cause].T.astype(float)
    begins = np.where(steps.shown, states.failed[:, steps.cause], undone @ steps.front.T.astype(float) > 0)
    return np.asarray((spoilt + made + lost == 0) & begins)
