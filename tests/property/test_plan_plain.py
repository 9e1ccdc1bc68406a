"""The planner against the plain way, and the bounds by which it leaves things out, on random problems."""

from __future__ import annotations

import numpy as np
import pytest

from helpers_dp import optimum, random_job
from helpers_plain_plan import Plain, Situation, situation
from helpers_weigh import random_network
from proveout.model.belief import Posterior
from proveout.plan.ecr import expected_cost
from proveout.plan.lookahead import choose
from proveout.plan.moves import inspect, prices
from proveout.plan.outlook import least_cost, most_gain, survey
from proveout.plan.problem import Problem, States, sets_of
from proveout.plan.setup import prune
from proveout.plan.steps import plan_steps
from proveout.weigh.posteriors import posterior


def situations(seed: int, count: int) -> list[tuple[Problem, States]]:
    """Return a random problem as it begins and after some checks came out at random."""
    problem, state = random_job(seed, causes=3 + seed % 4, checks=3 + seed % 5, parts=seed % 2 == 1)
    rng, found = np.random.default_rng(seed), [(problem, state)]
    for check in rng.permutation(len(problem.checks))[: count - 1].tolist():
        after = inspect(problem, state, check)
        state = after.row(int(rng.choice(len(after.weight), p=after.mass / after.mass.sum())))
        state = States(
            state.weight / state.mass, state.failed, state.history, state.done, state.decided, state.open
        )
        found.append((problem, state))
    return found


@pytest.mark.parametrize("seed", range(60))
def test_the_choice_is_that_of_the_plain_way(seed: int) -> None:
    for problem, state in situations(seed, 3):
        plain = Plain(problem, situation(state))
        choice = choose(problem, state)
        assert (choice.check, choice.mend) == plain.choose()


@pytest.mark.parametrize("seed", range(60, 100))
def test_the_simple_plan_and_each_beginning_cost_what_they_do_the_plain_way(seed: int) -> None:
    for problem, state in situations(seed, 3):
        plain = Plain(problem, situation(state))
        outlook = survey(problem, state, plan_steps(problem, state))
        assert outlook.plan == pytest.approx(plain.plan(plain.start)[0], rel=1e-6)
        values = plain.first_look(plain.start)
        assert outlook.values == pytest.approx({check: values[check] for check in outlook.values}, rel=1e-6)


@pytest.mark.parametrize("seed", range(100, 160))
def test_what_is_left_out_as_unable_to_pay_would_not_have_paid(seed: int) -> None:
    for problem, state in situations(seed, 3):
        plain = Plain(problem, situation(state))
        outlook = survey(problem, state, plan_steps(problem, state))
        price = prices(problem, state)[0]
        for check, value in plain.first_look(plain.start).items():
            if check in outlook.floors:
                assert value >= outlook.floors[check] - 1e-9
            elif check not in outlook.values:
                assert outlook.plan - value + float(price[check]) * outlook.mass <= 0.01 + 1e-9


@pytest.mark.parametrize("seed", range(20))
def test_the_bound_of_some_checks_is_that_of_all(seed: int) -> None:
    for problem, state in situations(seed, 3):
        among = np.random.default_rng(seed).random(len(problem.checks)) < 0.5
        some = most_gain(problem, state, among)
        assert some == pytest.approx(np.where(among, most_gain(problem, state), 0.0), rel=1e-12)


@pytest.mark.parametrize("seed", range(40))
def test_no_check_gains_the_best_planner_more_than_the_bound(seed: int) -> None:
    """The best planner by exact dynamic programming, told a result and given nothing else by it."""
    problem, state = random_job(seed, causes=3, checks=3)
    best, most = optimum(problem, state), most_gain(problem, state)[0]
    spent = float(problem.cost.sum() + problem.access.sum() + problem.repair.sum())
    for check in range(3):
        weights = inspect(problem, state, check).weight
        behind = sum(optimum(problem, replaced(state, weight[None, :])) for weight in weights)
        assert best - behind <= most[check] * (1.0 + spent / float(problem.refer.min())) + 1e-9


def replaced(state: States, weight: np.ndarray) -> States:
    """Return a state with other weights."""
    return States(weight, state.failed, state.history, state.done, state.decided, state.open)


@pytest.mark.parametrize("seed", range(60))
def test_no_plan_costs_less_than_if_the_causes_were_known(seed: int) -> None:
    for problem, state in situations(seed, 3):
        steps = plan_steps(problem, state)
        least = state.weight @ least_cost(problem, steps)
        assert float(expected_cost(problem, steps, state)[0]) >= float(least[0]) - 1e-9


@pytest.mark.parametrize("seed", range(20))
def test_no_probability_or_cost_is_off_by_more_than_the_sets_left_out_allow(seed: int) -> None:
    """Whatever a course of action costs for each set: here a random amount."""
    rng = np.random.default_rng(seed)
    whole = posterior(random_network(seed, causes=14, observables=4))
    drawn = rng.dirichlet(np.full(len(whole.prob), 0.05))
    whole = Posterior(whole.causes, whole.member, drawn, 0.0, whole.log_prior, whole.log_seen)
    place, prob, left_out = prune(whole)
    member = whole.member[place]
    assert len(place) == len(set(place.tolist())) < len(whole.prob)
    assert left_out == pytest.approx(1.0 - float(whole.prob[place].sum()), abs=1e-12)
    assert prob.sum() == pytest.approx(1.0, abs=1e-12)
    assert np.abs(prob @ member - whole.prob @ whole.member).max() <= left_out + 1e-12
    cost = rng.uniform(50.0, 500.0, len(whole.prob))
    moved = abs(float(prob @ cost[place] - whole.prob @ cost))
    assert moved <= left_out * float(cost.max() - cost.min()) + 1e-9
    sets_of(member)


def test_the_plain_way_reads_a_situation_as_it_is() -> None:
    problem, state = random_job(3)
    now = situation(inspect(problem, state, 0).row(0))
    assert isinstance(now, Situation)
    assert now.done == now.decided == {0}
