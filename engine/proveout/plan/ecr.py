"""Expected cost of repair: what a case will still cost if it is worked through by one simple plan.

The plan takes the causes by chance over cost (Simon and Kadane 1975; Heckerman, Breese and Rommelse 1995),
here over sets of causes and with inspections that can miss or mislead, and hands the case over at whatever
point is cheapest. It is the yardstick of the lookahead, and never more than handing the case over now.

Many situations are worked through side by side, since most of them take much the same steps.
"""

from __future__ import annotations

import numpy as np

from proveout.plan.moves import SLACK
from proveout.plan.problem import Bools, Floats, Ints, Problem, States, widened
from proveout.plan.steps import Steps

#: Longest plan; the steps beyond it concern causes too unlikely to matter.
LONGEST = 40
#: A row of which less than this share is left is planned no further: the rest is taken as handed over.
REMNANT = 0.002
#: A step that ends this far below the threshold of proof mends nothing. Were the threshold itself the edge,
#: any idle look that moves a confidence across it would seem worth a fortune.
FADE = 0.1
#: Stands in for that where the threshold is an edge.
SHARP = 1e-15
#: Added to what may be nothing and is divided by.
TINY = 1e-9
#: Rows that have come to their end are carried along until they are this share of all.
IDLE = 0.25


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
    use = np.flatnonzero(fits.any(axis=0))
    # A row without mass has no chances: its figures are no numbers, and it ends at once.
    with np.errstate(invalid="ignore"):
        if not use.size:
            return np.asarray(states.weight @ problem.refer), np.full(len(fits), -1)
        used, fits = _Used(problem, steps, use), fits[:, use]
        best, first = _Plans(used, states, fits).follow()
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
            still = np.flatnonzero(made & ~state.done[0])
            if still.size:
                return still
    return np.zeros(0, dtype=np.int64)


def _fits(problem: Problem, steps: Steps, states: States, usable: Bools) -> Bools:
    """Return (B, M): steps that fit the row: everything needed can be made, what is made is as prepared."""
    involved = np.flatnonzero((steps.front | steps.back).any(axis=0))
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


class _Used:
    """What the plans need of the M steps in use: chances, prices, and what one takes from the others.

    Mass moves among the S sets; column S is empty, and what is left where nothing is comes to rest nowhere.
    """

    def __init__(self, problem: Problem, steps: Steps, use: Ints) -> None:
        sets, cause = problem.sets, steps.cause[use]
        count, size = len(use), len(sets)
        support = steps.support[use]
        self.count = count
        self.hits = widened(support * sets.held.T[cause])
        self.leaves = np.hstack([sets.leaves[cause], np.full((count, 1), size)])
        self.chances = np.zeros((size + 1, 2 * count + 2))
        self.chances[:size, :count] = self.hits[:, :size].T
        self.chances[:size, count:-2] = (support + TINY * TINY).T
        self.chances[:size, -2] = 1.0
        self.chances[:size, -1] = problem.refer
        fade = np.where(steps.shown[use], SHARP, FADE)
        self.slope, self.level = 1.0 / fade, 1.0 - (problem.threshold[cause] - SLACK) / fade
        self.clash = np.where(_clash(steps, use), np.inf, 0.0)
        front, back = steps.front[use], steps.back[use]
        self.checks = np.flatnonzero((front | back).any(axis=0))
        self.takes = np.hstack([front[:, self.checks], steps.front_access[use]]).astype(float)
        later = np.hstack([back[:, self.checks], steps.back_access[use]])
        mending = np.hstack([np.zeros((count, len(self.checks)), dtype=bool), steps.repair_access[use]])
        amount = np.concatenate([problem.cost[self.checks], problem.access])
        self.prices = np.concatenate([self.takes, later, mending]).T * amount[:, None]
        self.fixed = np.concatenate([np.full(count, TINY), np.zeros(count), problem.repair[cause]])
        touched = (self.takes > 0) | later | mending
        apart = (self.takes.T @ (self.clash == 0)) * touched.T
        self.shared = np.flatnonzero((apart > 0).any(axis=1))
        self.takes = self.takes[:, self.shared]
        self.shared_prices = self.prices[self.shared]


class _Plans:
    """Each row's plan while it is worked through: mass by set, money spent, what is still shut.

    ``row`` says which of the first rows are carried along, ``going`` which of these go on.
    """

    def __init__(self, used: _Used, states: States, fits: Bools) -> None:
        self.used = used
        self.weight = widened(states.weight)
        rows, count = len(self.weight), used.count
        self.row, self.going = np.arange(rows), np.ones(rows, dtype=bool)
        self.best, self.first = np.full(rows, np.inf), np.full(rows, -1)
        self.spent = np.zeros(rows)
        self.enough = REMNANT * self.weight.sum(axis=1)
        shut = np.hstack([~states.done[:, used.checks], ~states.open]).astype(float)
        self.prices = (shut @ used.prices + used.fixed)[states.history]
        self.prices[:, :count][~fits] = np.inf
        self.shut = shut[:, used.shared][states.history]

    def follow(self) -> tuple[Floats, Ints]:
        """Work the plans through; return their expected cost (B,) and first steps (B,), -1 for none."""
        if self.advance(begin=True):
            for _ in range(LONGEST - 1):
                if not self.advance():
                    break
        self.hand_over()
        return self.best, self.first

    def hand_over(self) -> Floats:
        """Count what it costs to hand over what is left now; return (rows, 2M + 2) chances of the steps."""
        chances = self.weight @ self.used.chances
        self.best[self.row] = np.minimum(self.best[self.row], self.spent + chances[:, -1])
        return np.asarray(chances)

    def advance(self, *, begin: bool = False) -> bool:
        """Take the best step in each row that has one; return whether any row had."""
        chances, count = self.hand_over(), self.used.count
        gain, shown, mass = chances[:, :count], chances[:, count:-2], chances[:, -2]
        start, once_shown, mending = (self.prices[:, n * count : (n + 1) * count] for n in range(3))
        sound = self._soundness(gain / shown)
        work = mass[:, None] * start
        work += shown * once_shown
        waste = shown - gain
        waste *= mending
        waste *= sound
        waste += work
        score = sound * gain
        score /= waste
        pick = score.argmax(axis=1)
        at = np.arange(len(pick)), pick
        self.going &= (score[at] > 0) & (mass > self.enough)
        if not self.going.any():
            return False
        sound = np.where(self.going, sound[at], 0.0)
        self.spent += np.where(self.going, work[at] + sound * shown[at] * mending[at], 0.0)
        if begin:
            self.first = np.where(self.going, pick, -1)
        self._settle(pick, sound)
        if np.count_nonzero(self.going) <= (1.0 - IDLE) * len(pick):
            self._drop()
        return True

    def _soundness(self, sure: Floats) -> Floats:
        """Return (rows, M): share of the cases that a step mends, by the confidence that it ends with.

        From the threshold on it is all. A little below, what is inspected on the way will often supply what
        is wanting; but once the cause is shown, a promise that no inspection keeps would never end.
        """
        sure *= self.used.slope
        sure += self.used.level
        np.maximum(sure, 0.0, out=sure)
        return np.minimum(sure, 1.0, out=sure)

    def _settle(self, pick: Ints, sound: Floats) -> None:
        """Move the mass that each row's step mends to what is left of each set, and mark what was done."""
        used, width = self.used, self.weight.shape[1]
        moved = used.hits.take(pick, axis=0)
        moved *= self.weight
        moved *= sound[:, None]
        self.weight -= moved
        goal = used.leaves.take(pick, axis=0)
        goal += np.arange(0, moved.size, width)[:, None]
        self.weight += np.bincount(goal.ravel(), moved.ravel(), moved.size).reshape(moved.shape)
        self.weight[:, -1] = 0.0
        if len(used.shared):
            new = used.takes.take(pick, axis=0)
            new *= self.shut
            if new.any():
                self.shut -= new
                self.prices -= new @ used.shared_prices
        self.prices[:, : used.count] += used.clash.take(pick, axis=0)

    def _drop(self) -> None:
        """Keep only the rows that go on."""
        keep = self.going
        self.row, self.spent, self.enough = self.row[keep], self.spent[keep], self.enough[keep]
        self.weight, self.prices, self.shut = self.weight[keep], self.prices[keep], self.shut[keep]
        self.going = self.going[keep]


def _clash(steps: Steps, use: Ints) -> Bools:
    """Return (M, M): steps that end each other's use: same cause, resting on the result of the same check."""
    front, needs = steps.front[use].astype(float), steps.needs[use].astype(float)
    late = needs * steps.shown[use, None]
    shared = front @ (front + needs).T + needs @ front.T + late @ late.T > 0
    same = steps.cause[use, None] == steps.cause[None, use]
    return np.asarray((same & shared) | np.eye(len(use), dtype=bool))
