"""How to bring a fault on that comes and goes, where an inspection would tell little while it is away."""

from __future__ import annotations

from collections.abc import Mapping

from proveout.model.presence import TIME
from proveout.plan.setup import Setup

#: Ways named at most, and the least chance, with the fault there, of seeing what would be missed without it.
NAMED, LEAST = 2, 0.02


def bring_on(setup: Setup, check: int) -> tuple[str, ...]:
    """Return what to bring the fault on with while an inspection is made, what tells most first.

    A way tells as much as the causes that come with it are likely, times how often they then show. What the
    trouble is said to come with goes before what a cause may come with.
    """
    problem, presence = setup.problem, setup.presence
    name = problem.checks[check]
    weight = setup.state.weight[0] @ problem.sets.member / float(setup.state.mass[0])
    chance: dict[str, float] = {}
    for place, cause in enumerate(problem.causes):
        if presence.away(name, cause) and (shows := _shows(setup, check, cause)) > 0:
            comes = presence.comes_with(cause)
            for way in (comes & presence.ways) or comes - {TIME} or comes:
                chance[way] = chance.get(way, 0.0) + float(weight[place]) * shows
    return _best(chance)


def _shows(setup: Setup, check: int, cause: str) -> float:
    """Return how often a cause alone gives an abnormal result."""
    told = setup.told[check]
    return sum(told.cpt.given.get(cause, ())) if told else 0.0


def _best(chance: Mapping[str, float]) -> tuple[str, ...]:
    order = sorted(chance, key=lambda way: (-round(chance[way], 9), way))[:NAMED]
    return tuple(way for way in order if chance[way] >= LEAST)
