"""Plans followed side by side with numpy, since most of them take much the same steps.

It serves where no compiler was found; ``follow.c`` does the same row by row, in a twentieth of the time.
"""

from __future__ import annotations

import numpy as np

from proveout.plan.problem import Bools, Floats, Ints, States, widened
from proveout.plan.used import LONGEST, NOTHING, REMNANT, Used

#: Rows that have come to their end are carried along until they are this share of all.
IDLE = 0.25


def side_by_side(used: Used, states: States, fits: Bools) -> tuple[Floats, Ints]:
    """Return the expected cost (B,) of each row's plan times its mass, and its first step (B,), -1 for none.

    Args:
        used: the M steps.
        states: B rows.
        fits: (B, M) which steps fit each row.
    """
    return _Plans(used, states, fits).follow()


class _Plans:
    """Each row's plan while it is worked through: mass by set, money spent, what is still shut.

    ``row`` says which of the first rows are carried along, ``going`` which of these go on.
    """

    def __init__(self, used: Used, states: States, fits: Bools) -> None:
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
        self.going &= (score[at] > NOTHING) & (mass > self.enough)
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
        self.prices[:, : used.count][used.barred.take(pick, axis=0)] = np.inf

    def _drop(self) -> None:
        """Keep only the rows that go on."""
        keep = self.going
        self.row, self.spent, self.enough = self.row[keep], self.spent[keep], self.enough[keep]
        self.weight, self.prices, self.shut = self.weight[keep], self.prices[keep], self.shut[keep]
        self.going = self.going[keep]
