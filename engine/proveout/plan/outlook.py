"""The outlook from one situation: what the simple plan costs, and what beginning with each inspection costs.

An inspection can gain no more than the cost that its results move from one set of causes to another, and what
the plan would pay for it and its access anyway. Where that is less than its own price it cannot beat the plan;
unless it is likely to show a fault it is then valued only if somebody asks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from proveout.plan.ecr import first_checks, fitting, work_through
from proveout.plan.moves import inspect_each, makeable, prices
from proveout.plan.problem import Bools, Floats, Ints, Problem, States, stack
from proveout.plan.steps import Steps

#: A saving smaller than this (in the user's currency) is none.
WORTH = 0.01
#: An inspection with this chance of showing a fault is no idle one.
LIKELY = 0.05


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is known of a one-row state before anything is chosen.

    Attributes:
        problem, state, steps: the situation and the steps of its plans.
        price: (I,) what each check costs now.
        chance: (I,) chance that a check directly shows a cause that is there; an abnormal result that shows
            no cause directly does not count: it only moves the question.
        plan: expected cost of the plan.
        own: checks that the plan makes first.
        values: for each check valued, its cost plus the expected cost over its results.
        floors: for each other check that can be made next and whose results might help, what beginning with
            it costs at least.
        extended: as in ``Choice``.
    """

    problem: Problem
    state: States
    steps: Steps
    price: Floats
    chance: Floats
    plan: float
    own: frozenset[int]
    values: dict[int, float]
    floors: dict[int, float]
    extended: tuple[tuple[float, dict[int, float]], ...] = ()

    @property
    def refer(self) -> float:
        """Expected cost of handing over now."""
        return float(self.state.weight[0] @ self.problem.refer)

    @property
    def mass(self) -> float:
        """Total weight of the state."""
        return float(self.state.mass[0])

    def gain(self, check: int) -> float:
        """Return by how much the results alone of a check that was valued would cheapen the plan."""
        return self.plan - self.values[check] + float(self.price[check]) * self.mass


def survey(problem: Problem, state: States, steps: Steps, extensions: Bools | None = None) -> Outlook:
    """Value the plan in a one-row state and the checks that may be the best to make next.

    ``extensions`` (T, I) says what would be usable with each of T things more; what these add is valued too.
    """
    price, chance = prices(problem, state)[0], _chance(problem, state)
    can = makeable(problem, state)[0]
    mass, reach = float(state.mass[0]), most_gain(problem, state)
    own = problem.cost * mass
    planned = fitting(problem, steps, state, problem.usable)
    promising = planned | (chance > LIKELY) | (reach > own)
    now = np.flatnonzero(can & problem.usable & promising)
    wider = np.zeros((0, len(can)), dtype=bool) if extensions is None else extensions
    owner, added = (can & wider & ~problem.usable).nonzero()
    leaves, place = inspect_each(problem, state, np.concatenate([now, added]))
    heads = 1 + len(wider)
    rows = stack([*([state] * heads), leaves])
    usable = np.concatenate(
        [problem.usable[None], wider, np.tile(problem.usable, (len(now), 1)), wider[owner]]
    )
    cost, step = work_through(problem, steps, rows, usable)
    checks = np.concatenate([now, added])
    sums = np.bincount(place, cost[heads:], len(checks)) + price[checks] * mass
    idle = np.flatnonzero(can & problem.usable & ~promising & (reach + (price - problem.cost) * mass > WORTH))
    floors = float(cost[0]) + own[idle] - reach[idle]
    begin = sums[len(now) :]
    return Outlook(
        problem,
        state,
        steps,
        price,
        chance,
        float(cost[0]),
        frozenset(first_checks(steps, state, int(step[0])).tolist()) & set(now.tolist()),
        dict(zip(now.tolist(), sums.tolist(), strict=False)),
        dict(zip(idle.tolist(), floors.tolist(), strict=True)),
        tuple(
            (
                float(cost[1 + n]),
                dict(zip(added[owner == n].tolist(), begin[owner == n].tolist(), strict=True)),
            )
            for n in range(len(wider))
        ),
    )


def add_values(outlook: Outlook, checks: list[int]) -> None:
    """Value some checks that the survey has left out."""
    problem, state = outlook.problem, outlook.state
    leaves, place = inspect_each(problem, state, np.array(checks))
    cost, _ = work_through(problem, outlook.steps, leaves)
    sums = np.bincount(place, cost, len(checks)) + outlook.price[checks] * outlook.mass
    outlook.values.update(zip(checks, sums.tolist(), strict=True))


def most_gain(problem: Problem, state: States) -> Floats:
    """Return (I,): the most that a check's results can save whoever plans best.

    It is the cost of handing over of all mass that they move: half of what, over all results, the chance of a
    result given a set differs from its chance given nothing.
    """
    weight = state.weight[0]
    dear = weight * problem.refer
    moved = dear @ np.abs(problem.like - weight @ problem.like / max(float(state.mass[0]), 1e-300))
    return np.asarray(np.add.reduceat(moved, problem.first[:-1]) / 2.0)


def _chance(problem: Problem, state: States) -> Floats:
    """Return (I,): chance that each check directly shows a cause that is there."""
    showing = np.flatnonzero(problem.shows.any(axis=0))
    there = problem.sets.member.astype(np.float32) @ problem.shows[:, showing].astype(np.float32) > 0
    shown = np.zeros(problem.like.shape[1])
    shown[showing] = state.weight[0] @ (problem.like[:, showing] * there) / max(float(state.mass[0]), 1e-300)
    return np.asarray(np.add.reduceat(shown, problem.first[:-1]))
