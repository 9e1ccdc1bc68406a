"""The outlook from one situation: what the simple plan costs, and what beginning with each inspection costs.

An inspection can gain no more than the cost that its results move from one set of causes to another, and
what the plan would pay for it and its access anyway. Where that is less than its own price it cannot beat the
plan, and it is valued only where a list of further inspections asks for it.

What has to be made before another inspection is credited with what it unlocks: it is worth no less than both
together, its own results counted for nothing.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from proveout.plan.ecr import first_checks, planned, work_through
from proveout.plan.moves import inspect_each, makeable, prices
from proveout.plan.problem import Bools, Floats, Ints, Problem, States, indices, stack
from proveout.plan.steps import Steps

#: A saving smaller than this (in the user's currency) is none.
WORTH = 0.01
#: An inspection with this chance of showing a fault is no idle one.
LIKELY = 0.05


class Outlook(Struct, frozen=True):
    """What is known of a one-row state before anything is chosen.

    Attributes:
        problem, state, steps: the situation and the steps of its plans.
        price: (I,) what each check costs now.
        chance: (I,) chance that a check directly shows a cause that is there; an abnormal result that shows
            no cause directly does not count: it only moves the question.
        plan: expected cost of the plan.
        own: checks that the plan makes first.
        values: for each check valued, its cost plus the expected cost over its results.
        alone: the same without credit for what it unlocks, as far as that differs.
        behind: for each of them the expected cost (R,) behind each of its results.
        floors: for each other check that can be made next and whose results might help, what beginning with
            it costs at least.
        extended: for each extension that could be worth its price, the plan's cost with it and that of
            beginning with each check that it adds.
    """

    problem: Problem
    state: States
    steps: Steps
    price: Floats
    chance: Floats
    plan: float
    own: frozenset[int]
    values: dict[int, float]
    alone: dict[int, float]
    behind: dict[int, Floats]
    floors: dict[int, float]
    extended: dict[int, tuple[float, dict[int, float]]]

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
        value = self.alone.get(check, self.values[check])
        return self.plan - value + float(self.price[check]) * self.mass


class Extensions(Struct, frozen=True, eq=False):
    """Things not at hand, each of which would make more checks usable.

    Attributes:
        usable: (T, I) what would be usable with each.
        price: (T,) what each costs.
    """

    usable: Bools
    price: Floats


def survey(problem: Problem, state: States, steps: Steps, more: Extensions | None = None) -> Outlook:
    """Value the plan in a one-row state and the checks that may be the best to make next.

    What ``more`` would add is valued too, as far as it could be worth its price.
    """
    price, chance, reach = prices(problem, state)[0], _chance(problem, state), most_gain(problem, state)[0]
    mass = float(state.mass[0])
    own = problem.cost * mass
    can = makeable(problem, state)[0]
    worth, wide = _worth_trying(problem, state, steps, more, reach)
    made = planned(problem, steps, state, wide.any(axis=0) | problem.usable)[0]
    promising = made | (chance > LIKELY) | (reach > own)
    locked, unlocking = _unlocking(problem, state, can, promising)
    promising = can & (promising | unlocking)
    now = indices(promising & problem.usable)
    owner, added = (promising & wide & ~problem.usable).nonzero()
    checks, heads = np.concatenate([now, added]), 1 + len(wide)
    leaves, pair = inspect_each(problem, state, np.zeros(len(checks), dtype=np.int64), checks)
    at_hand = np.concatenate(
        [problem.usable[None], wide, np.broadcast_to(problem.usable, (len(now), len(can))), wide[owner]]
    )
    behind, owner_of, chain_price = _behind_chains(problem, state, locked)
    at_hand = np.concatenate([at_hand, np.broadcast_to(problem.usable, (len(locked), len(can)))])
    cost, step = work_through(problem, steps, stack([*([state] * heads), leaves, behind]), at_hand)
    chained = np.bincount(owner_of, cost[heads + len(pair) :], len(locked)) + chain_price * mass
    cost = cost[: heads + len(pair)]
    begun = (np.bincount(pair, cost[heads:], len(checks)) + price[checks] * mass).tolist()
    plan, count = float(cost[0]), len(now)
    values, alone = dict(zip(now.tolist(), begun[:count], strict=True)), dict[int, float]()
    for check, value in zip(locked.tolist(), chained.tolist(), strict=True):
        for opener in indices(problem.after[check] & can).tolist():
            alone.setdefault(opener, values[opener])
            values[opener] = min(values[opener], value)
    spare = (price - problem.cost) * mass
    idle = indices(can & problem.usable & ~promising & (reach + spare > WORTH))
    extended = {tool: (float(cost[1 + n]), dict[int, float]()) for n, tool in enumerate(worth)}
    for n, check, value in zip(owner.tolist(), added.tolist(), begun[count:], strict=True):
        extended[worth[n]][1][check] = value
    return Outlook(
        problem,
        state,
        steps,
        price,
        chance,
        plan,
        frozenset(first_checks(steps, state, int(step[0])).tolist()) & set(now.tolist()),
        values,
        alone,
        {check: cost[heads:][pair == n] for n, check in enumerate(now.tolist())},
        dict(zip(idle.tolist(), (plan + own[idle] - reach[idle]).tolist(), strict=True)),
        extended,
    )


def _unlocking(problem: Problem, state: States, can: Bools, promising: Bools) -> tuple[Ints, Bools]:
    """Return the promising checks that wait for others that can all be made, and (I,) those made first."""
    undone, usable = ~state.done[0], problem.usable
    late = indices(undone & usable & ~can & promising)
    before = problem.after[late] & undone
    late = late[~(before & ~usable).any(axis=1)]
    return late, np.asarray((problem.after[late] & undone & can).any(axis=0))


def _behind_chains(problem: Problem, state: States, locked: Ints) -> tuple[States, Ints, Floats]:
    """Return the states behind each locked check made at once with all before it.

    Returns:
        The states, (B,) which of the locked checks each belongs to, and what each chain costs.
    """
    start = state.take(np.zeros(len(locked), dtype=np.int64))
    before = problem.after[locked] & ~start.done
    start = States(
        start.weight,
        start.failed,
        start.history,
        start.done | before,
        start.decided | before,
        start.open | (before.astype(float) @ problem.behind > 0),
    )
    leaves, pair = inspect_each(problem, start, np.arange(len(locked)), locked)
    opened = (start.open | problem.behind[locked]) & ~state.open
    return leaves, pair, before @ problem.cost + problem.cost[locked] + opened @ problem.access


def _worth_trying(
    problem: Problem, state: States, steps: Steps, more: Extensions | None, reach: Floats
) -> tuple[list[int], Bools]:
    """Return the extensions that could be worth their price, and what is usable with each of them.

    One saves no more than what its checks can gain, and the cost of handing over of all causes that only it
    allows to be proven.
    """
    if more is None:
        return [], np.zeros((0, len(problem.usable)), dtype=bool)
    needs = (steps.front | steps.back) & ~state.done[0]
    barred = (needs & ~problem.usable).any(axis=1)
    found = []
    for n, usable in enumerate(more.usable):
        opened = np.zeros(len(problem.causes), dtype=bool)
        opened[steps.cause[barred & ~(needs & ~usable).any(axis=1)]] = True
        held = problem.sets.held[:, opened].any(axis=1)
        saved = float(state.weight[0] @ (problem.refer * held)) + float(reach[usable & ~problem.usable].sum())
        if saved > more.price[n]:
            found.append(n)
    return found, more.usable[found]


def most_gain(problem: Problem, states: States, among: Bools | None = None) -> Floats:
    """Return (B, I): the most that a check's results can save whoever plans best.

    It is the cost of handing over of all mass that they move: half of what, over all results, the chance of a
    result given a set differs from its chance given nothing.

    Args:
        problem: the problem.
        states: B situations.
        among: (I,) the checks that are asked about, the others are given 0; all by default.
    """
    width = np.diff(problem.first)
    asked = np.arange(len(width)) if among is None else indices(among)
    gain = np.zeros((len(states.weight), len(width)))
    if not asked.size:
        return gain
    like = problem.like if among is None else problem.like[:, np.repeat(among, width)]
    first = np.cumsum(width[asked]) - width[asked]
    mass = np.maximum(states.mass, 1e-300)[:, None]
    expected = states.weight @ like / mass
    dear = states.weight * problem.refer
    moved, apart = np.empty(expected.shape), np.empty(like.shape)
    for row, own, mean in zip(moved, dear, expected, strict=True):
        np.abs(np.subtract(like, mean, out=apart), out=apart)
        row[:] = own @ apart
    gain[:, asked] = np.add.reduceat(moved, first, axis=1) / 2.0
    return gain


def least_cost(problem: Problem, steps: Steps) -> Floats:
    """Return (S,): the least that a set of causes can cost, were it known: mended as far as steps allow."""
    sets = problem.sets
    repair = np.full(len(problem.causes), np.inf)
    repair[steps.cause] = problem.repair[steps.cause]
    least = np.append(problem.refer, 0.0)
    steps_of = repair[:, None] + 0.0 * least[:-1]
    for _ in range(int(sets.member.sum(axis=1).max(initial=0))):
        onward = np.where(sets.held.T, steps_of + least[sets.leaves], np.inf)
        least[:-1] = np.minimum(least[:-1], onward.min(axis=0, initial=np.inf))
    return least[:-1]


def _chance(problem: Problem, state: States) -> Floats:
    """Return (I,): chance that each check directly shows a cause that is there."""
    showing = indices(problem.shows.any(axis=0))
    there = problem.sets.member.astype(np.float32) @ problem.shows[:, showing].astype(np.float32) > 0
    shown = np.zeros(problem.like.shape[1])
    shown[showing] = state.weight[0] @ (problem.like[:, showing] * there) / max(float(state.mass[0]), 1e-300)
    return np.asarray(np.add.reduceat(shown, problem.first[:-1]))
