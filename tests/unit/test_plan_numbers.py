"""The planner in plain numbers: what inspections and repairs do, and how near the optimum it comes."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from helpers_dp import beside, every_set, follow, optimum, ours, random_job
from proveout.plan import lookahead
from proveout.plan.ecr import expected_cost
from proveout.plan.lookahead import choose
from proveout.plan.moves import confidence, inspect, mend, price, proven, ready, repair_price
from proveout.plan.outlook import survey
from proveout.plan.problem import Problem, States, fresh, reach, sets_of
from proveout.plan.steps import plan_steps, speaks_for
from proveout.plan.used import FADE


def small() -> tuple[Problem, States]:
    """Return two causes, a direct test of each, one that must come before the second, one place of access."""
    member = every_set(2, 2)
    present = member.astype(float)
    like = tuple(
        np.column_stack([1 - hit, hit])
        for hit in (0.02 + 0.93 * present[:, 0], 0.02 + 0.88 * present[:, 1], 0.0 * present[:, 0])
    )
    shows = (
        np.array([[False, True], [False, False]]),
        np.array([[False, False], [False, True]]),
        np.zeros((2, 2), dtype=bool),
    )
    job = Problem(
        causes=("a", "b"),
        checks=("look-a", "look-b", "make-safe"),
        sets=sets_of(member),
        **beside(like, shows),
        cost=np.array([4.0, 6.0, 1.0]),
        behind=np.array([[True], [True], [False]]),
        access=np.array([10.0]),
        after=reach(np.array([[False] * 3, [False, False, True], [False] * 3])),
        buying=np.array([[True, False, False], [True, True, False]]),
        repair=np.array([30.0, 50.0]),
        repair_behind=np.array([[True], [False]]),
        refer=np.full(4, 200.0),
        usable=np.ones(3, dtype=bool),
        threshold=np.full(2, 0.9),
    )
    return job, fresh(job, np.array([0.05, 0.6, 0.3, 0.05]))


def test_access_is_paid_for_once() -> None:
    job, start = small()
    assert price(job, start, 0)[0] == 14.0
    after = inspect(job, start, 0)
    assert price(job, after, 1).tolist() == [6.0, 6.0]
    assert repair_price(job, start, 0)[0] == 40.0
    assert repair_price(job, after, 0).tolist() == [30.0, 30.0]


def test_of_inspections_alike_but_for_rounding_the_first_is_made() -> None:
    """What values differ by in their last digits changes with the machine and with what else was asked."""
    job, start = small()
    outlook = survey(job, start, plan_steps(job, start))
    same = {0: 90.0, 1: 90.0}
    alike = replace(outlook, price=np.full(3, 5.0), chance=np.full(3, 0.1), values=same, alone=same)
    for less in (-1e-12, 0.0, 1e-12):
        assert lookahead.best_of(alike, {1: 100.0 + less, 0: 100.0}) == 0
    assert lookahead.best_of(alike, {1: 99.9, 0: 100.0}) == 1


def test_what_must_come_first_is_waited_for() -> None:
    job, start = small()
    assert ready(job, start)[0].tolist() == [True, False, True]
    assert ready(job, inspect(job, start, 2))[0].tolist() == [True, True, False]
    assert not ready(replace(job, usable=np.array([True, True, False])), start)[0, 1]


def test_reach_follows_more_than_one_step() -> None:
    chain = np.zeros((4, 4), dtype=bool)
    chain[0, 1] = chain[1, 2] = chain[2, 3] = True
    assert reach(chain)[0].tolist() == [False, True, True, True]


def test_results_share_out_the_whole_mass() -> None:
    job, start = small()
    after = inspect(job, start, 0)
    assert after.mass.sum() == pytest.approx(1.0, abs=1e-12)
    bad = confidence(job, after)[1, 0]
    expected = 0.95 * 0.65 / (0.95 * 0.65 + 0.02 * 0.35)
    assert bad == pytest.approx(expected, abs=1e-12)
    assert after.failed.tolist() == [[False, False], [True, False]]


def test_proof_asks_for_confidence_a_direct_result_and_all_before_buying() -> None:
    job, start = small()
    shown = inspect(job, start, 0).row(1)
    assert proven(job, shown)[0].tolist() == [True, False]
    assert not proven(replace(job, threshold=np.full(2, 0.999)), shown)[0, 0]
    undecided = replace(shown, decided=np.zeros_like(shown.decided))
    assert not proven(job, undecided)[0, 0]
    assert not proven(job, replace(shown, failed=np.zeros_like(shown.failed)))[0, 0]


def test_mending_ends_what_it_explains_and_leaves_the_rest() -> None:
    job, start = small()
    left = mend(job, start, 0)
    assert left.weight[0].tolist() == pytest.approx([0.05, 0.0, 0.35, 0.0])
    assert left.open[0, 0]


def test_sets_that_are_not_closed_are_refused() -> None:
    with pytest.raises(ValueError, match="not among the sets"):
        sets_of(np.array([[False, False], [True, True]]))


def test_the_simple_plan_never_costs_more_than_handing_over() -> None:
    for seed in range(40):
        job, start = random_job(seed)
        refer = start.weight @ job.refer
        assert expected_cost(job, plan_steps(job, start), start) <= refer + 1e-9


def test_a_step_that_ends_just_short_of_proof_counts_in_part_until_the_cause_is_shown() -> None:
    job, start = small()
    shown = inspect(job, start, 0).row(1)
    sure = float(confidence(job, shown)[0, 0])

    def planned(wanting: float, state: States) -> float:
        strict = replace(job, threshold=np.full(2, sure + wanting))
        return float(expected_cost(strict, plan_steps(strict, state), state)[0])

    assert planned(0.0, start) < planned(0.2 * FADE, start) < planned(FADE, start) == pytest.approx(200.0)
    assert planned(0.0, shown) < planned(0.2 * FADE, shown) == pytest.approx(200.0 * shown.mass[0])


def test_a_result_that_hardly_depends_on_the_cause_does_not_speak_against_it() -> None:
    job, start = small()
    even = np.column_stack([np.full(4, 0.9), np.full(4, 0.1)])
    slightly = even + np.outer(job.sets.member[:, 0], [-0.01, 0.01])
    against = even + np.outer(job.sets.member[:, 0], [-0.6, 0.6])
    for like, speaking in ((slightly, 1.0), (against, 0.7)):
        other = replace(job, like=np.hstack([job.like[:, :4], like]))
        assert speaks_for(other, 2, 0, start.weight[0])[1] == pytest.approx(speaking)


def test_nothing_can_be_done_so_the_case_is_handed_over() -> None:
    job, start = small()
    bare = replace(job, usable=np.zeros(3, dtype=bool))
    choice = choose(bare, start)
    assert (choice.check, choice.mend) == (-1, -1)
    assert choice.stop == pytest.approx(200.0)
    assert survey(bare, start, plan_steps(bare, start)).values == {}


def test_a_dear_inspection_is_not_worth_it_when_handing_over_is_cheap() -> None:
    job, start = small()
    cheap = choose(replace(job, refer=np.full(4, 12.0)), start)
    assert (cheap.check, cheap.mend) == (-1, -1)
    assert choose(job, start).check == 0


def test_a_proven_cause_is_mended_when_nothing_more_is_worth_knowing() -> None:
    job, start = small()
    choice = choose(job, inspect(job, start, 0).row(1))
    assert (choice.check, choice.mend) == (-1, 0)


def test_equal_inspections_go_by_their_order() -> None:
    job, start = small()
    like, shows = np.hsplit(job.like, 3), np.hsplit(job.shows, 3)
    twins = replace(
        job,
        **beside((like[0], like[0], like[2]), (shows[0], shows[0], shows[2])),
        cost=np.array([4.0, 4.0, 1.0]),
        after=np.zeros((3, 3), dtype=bool),
        buying=np.zeros((2, 3), dtype=bool),
    )
    choice = choose(twins, start)
    assert choice.values[0] == pytest.approx(choice.values[1], abs=1e-9)
    assert choice.check == 0


@pytest.mark.long(55)
def test_the_policy_is_within_five_percent_of_the_optimum() -> None:
    """Over a fixed sample: ratio of means, and mean of ratios, so that dear ones do not hide cheap ones."""
    best, policy = [], []
    for seed in range(150):
        job, start = random_job(seed)
        best.append(optimum(job, start))
        policy.append(follow(job, start, ours))
    assert all(p >= b - 1e-6 for p, b in zip(policy, best, strict=True))
    assert sum(policy) / sum(best) <= 1.05
    assert np.mean(np.array(policy) / np.array(best)) <= 1.05


@pytest.mark.long(10)
def test_the_policy_is_near_the_optimum_on_the_largest_problems() -> None:
    best, policy = 0.0, 0.0
    for seed in range(1000, 1012):
        job, start = random_job(seed, causes=6, checks=6, at_once=3)
        best += optimum(job, start)
        policy += follow(job, start, ours)
    assert policy / best <= 1.05
