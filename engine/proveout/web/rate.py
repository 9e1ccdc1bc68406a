"""How often somebody may ask: a store of turns for each address, filled again as time goes by."""

from __future__ import annotations

import time
from collections import OrderedDict

#: Addresses remembered at most; the one not heard of for longest is forgotten first.
_MOST = 1024


class Rates:
    """Turns left of each address."""

    def __init__(self, burst: int, each_second: float) -> None:
        """Say how many turns may be taken at once, and how many come back each second."""
        self._burst = burst
        self._each_second = each_second
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def take(self, who: str, now: float | None = None) -> bool:
        """Take a turn and say whether one was left.

        Args:
            who: the address.
            now: seconds of a clock that never goes back; that of the machine where left out.
        """
        at = time.monotonic() if now is None else now
        left, before = self._left.pop(who, (float(self._burst), at))
        left = min(float(self._burst), left + (at - before) * self._each_second)
        taken = left >= 1
        self._left[who] = (left - 1 if taken else left, at)
        if len(self._left) > _MOST:
            self._left.popitem(last=False)
        return taken
