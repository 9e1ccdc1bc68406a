"""Many observables side by side: the probability of each of their states, for any sets of causes.

The formula is that of ``likelihoods``. A set gets the same figures to the last digit whichever others are
asked for with it, so that they can be kept and joined.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from proveout.weigh.likelihoods import Rates

#: Sets that are worked on at once; more would take more memory and no less time.
_ROWS = 64


class Beside:
    """Some observables, with what each cause in play gives to the rates of all their states.

    Attributes:
        first: (observables + 1,) column at which each observable begins, "normal" before its states; last the
            number of columns.
    """

    def __init__(self, told: Sequence[Rates | None], causes: tuple[str, ...]) -> None:
        """Take the rates of the observables; one without rates is always normal."""
        self._width = np.array([1 + len(one.background) if one else 1 for one in told], dtype=np.int64)
        self.first = np.append(0, np.cumsum(self._width))
        count = int(self.first[-1])
        begin = {cause: i * count + 1 for i, cause in enumerate(causes)}
        background = len(causes) * count + 1
        at: list[int] = []
        amount: list[float] = []
        for one, start in zip(told, self.first.tolist(), strict=False):
            if one:
                for cause in begin.keys() & one.given.keys():  # most that it speaks of are not in play
                    row = one.given[cause]
                    at += range(begin[cause] + start, begin[cause] + start + len(row))
                    amount += row
                at += range(background + start, background + start + len(one.background))
                amount += one.background
        #: Of each cause, then of the background, then nothing, which fills small sets up.
        self._rates = np.zeros((len(causes) + 2, count))
        self._rates.put(at, amount)

    def of(self, member: NDArray[np.bool_]) -> NDArray[np.float64]:
        """Return (sets, columns) the probability of each state in each of some sets (sets, causes)."""
        held = _listed(member)
        found = np.empty((len(member), int(self.first[-1])))
        for start in range(0, len(member) if len(self._width) else 0, _ROWS):
            block = found[start : start + _ROWS]
            block[:] = self._rates[-2]
            for column in held[start : start + _ROWS].T:
                block += self._rates.take(column, axis=0)
            total = np.add.reduceat(block, self.first[:-1], axis=1)
            share = np.divide(-np.expm1(-total), total, out=np.zeros_like(total), where=total > 0)
            block *= np.repeat(share, self._width, axis=1)
            block[:, self.first[:-1]] = np.exp(-total)
        return found


def _listed(member: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Return (sets, most causes of one) the causes of each set, the rest filled up with "nothing"."""
    rows, causes = member.nonzero()
    size = member.sum(axis=1)
    held = np.full((len(member), int(size.max(initial=0))), member.shape[1] + 1)
    held[rows, np.arange(len(rows)) - np.repeat(np.cumsum(size) - size, size)] = causes
    return held
