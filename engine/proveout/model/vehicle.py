"""Kinds of vehicle: what one has or is, where that decides what can be wrong or can be inspected."""

from __future__ import annotations

from collections.abc import Iterable

#: Kinds of which a vehicle has one at most: to have one is to lack the others.
EXCLUSIVE = (
    frozenset({"petrol", "diesel"}),
    frozenset({"automatic", "manual"}),
    frozenset({"distributor", "coil-per-plug"}),
    frozenset({"in-line-engine", "v-engine"}),
)
#: Every kind that an entry can fit or not fit, and that an intake can state.
KINDS = tuple(
    sorted(
        {
            *frozenset().union(*EXCLUSIVE),
            "hybrid",
            "turbo",
            "direct-injection",
            "air-flow-sensor",
            "stop-start",
        }
    )
)


def excluded_by(has: Iterable[str]) -> frozenset[str]:
    """Return the kinds that a vehicle lacks because of those that it has."""
    held = frozenset(has)
    return frozenset().union(*(group for group in EXCLUSIVE if group & held)) - held
