"""Order of inspections for a single fault with perfect tests.

Sources: H. A. Simon and J. B. Kadane, Optimal problem-solving search: all-or-none solutions, Artificial
Intelligence 6 (1975): the order by p/c descending has the least expected cost. J. Kalagnanam and M. Henrion,
A comparison of decision analysis and expert rules for sequential diagnosis (1988, 1990): the same rule on
motorcycle engines.
The six sums of the worked example are arithmetic: ABC costs 10 + 0.8 x 20 + 0.5 x 60 = 56.
"""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from helpers_dp import Move, beside, every_set, follow, optimum, ours
from proveout.plan.ecr import expected_cost
from proveout.plan.moves import proven
from proveout.plan.problem import Problem, States, fresh, sets_of
from proveout.plan.steps import plan_steps

CHANCE = (0.2, 0.3, 0.5)
COST = (10.0, 20.0, 60.0)
WORKED = {"ABC": 56.0, "BAC": 57.0, "ACB": 64.0, "BCA": 64.0, "CAB": 71.0, "CBA": 72.0}


def perfect(chance: tuple[float, ...], cost: tuple[float, ...]) -> tuple[Problem, States]:
    """Return one fault for certain, one perfect test a cause, free repairs, and no sense in giving up."""
    count = len(chance)
    member = every_set(count, 1)
    none, all_of = np.zeros((count, 0), dtype=bool), np.zeros((count, count), dtype=bool)
    like = tuple(np.column_stack([~member[:, c], member[:, c]]).astype(float) for c in range(count))
    shows = tuple(np.column_stack([np.zeros(count, bool), np.arange(count) == c]) for c in range(count))
    job = Problem(
        causes=tuple("ABCDEFGH"[:count]),
        checks=tuple("abcdefgh"[:count]),
        sets=sets_of(member),
        **beside(like, shows),
        cost=np.array(cost),
        behind=none,
        access=np.zeros(0),
        after=all_of,
        buying=all_of.copy(),
        repair=np.zeros(count),
        repair_behind=none.copy(),
        refer=np.full(len(member), 1e6),
        usable=np.ones(count, dtype=bool),
        threshold=np.full(len(chance), 0.9),
    )
    return job, fresh(job, np.array([0.0, *chance]))


def in_order(order: str) -> float:
    """Return the expected cost of inspecting in a fixed order until the fault is shown, then mending it."""
    job, start = perfect(CHANCE, COST)

    def policy(job: Problem, state: States) -> Move:
        sound = np.flatnonzero(proven(job, state)[0])
        if sound.size:
            return "mend", int(sound[0])
        return "check", next(n for n in map(job.causes.index, order) if not state.done[0, n])

    return follow(job, start, policy)


@pytest.mark.parametrize("order", WORKED)
def test_each_order_of_the_worked_example_costs_what_it_says(order: str) -> None:
    assert in_order(order) == pytest.approx(WORKED[order], abs=1e-9)


def test_the_planner_takes_the_best_order_of_the_worked_example() -> None:
    job, start = perfect(CHANCE, COST)
    assert follow(job, start, ours) == pytest.approx(56.0, abs=1e-9)
    assert optimum(job, start) == pytest.approx(56.0, abs=1e-9)
    assert expected_cost(job, plan_steps(job, start), start)[0] == pytest.approx(56.0, abs=1e-6)


def test_probability_alone_gives_the_worst_order_of_the_worked_example() -> None:
    by_chance = "".join(sorted("ABC", key=lambda name: -CHANCE["ABC".index(name)]))
    assert by_chance == "CBA"
    assert max(WORKED, key=WORKED.__getitem__) == by_chance


@pytest.mark.parametrize("seed", range(12))
def test_chance_over_cost_is_optimal_for_a_single_fault(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 6))
    chance = rng.dirichlet(np.ones(count))
    cost = rng.uniform(1.0, 60.0, count)

    def expected(order: tuple[int, ...]) -> float:
        left = 1.0 - np.concatenate([[0.0], np.cumsum(chance[list(order)])[:-1]])
        return float(left @ cost[list(order)])

    by_rule = expected(tuple(np.argsort(-chance / cost).tolist()))
    assert by_rule == pytest.approx(min(expected(order) for order in permutations(range(count))), abs=1e-9)
    job, start = perfect(tuple(chance.tolist()), tuple(cost.tolist()))
    assert follow(job, start, ours) == pytest.approx(by_rule, rel=1e-6)
