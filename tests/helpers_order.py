"""The order in which tests run: those that take long are begun first, in each process its share."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar

_Item = TypeVar("_Item")


def begun_first(items: Sequence[_Item], long: Mapping[_Item, float], processes: int) -> list[_Item]:
    """Return the items so that each process begins with its share of the long ones, and they end early.

    Each process is given a stretch of the whole to begin with, all of one length (``--dist worksteal``), and
    takes over from the end of another's when it is done. What is not long keeps its order, since neighbours
    share what they set up.

    Args:
        items: all of them.
        long: those that take long, with about how many seconds.
        processes: that share the work.
    """
    shares: list[list[_Item]] = [[] for _ in range(processes)]
    loads = [0.0] * processes
    for item in sorted(long, key=lambda one: -long[one]):
        least = loads.index(min(loads))
        shares[least].append(item)
        loads[least] += long[item]
    rest = [item for item in items if item not in long]
    found: list[_Item] = []
    for number, share in enumerate(shares):
        length = (len(items) - len(found)) // (processes - number)
        most = max(length - len(share), 0)
        found += share + rest[:most]
        del rest[:most]
    return found + rest
