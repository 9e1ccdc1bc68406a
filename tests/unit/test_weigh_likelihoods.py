"""The probability of what is seen, for sets of causes."""

from __future__ import annotations

import numpy as np
import pytest

from helpers_weigh import a_cpt, a_network, chances, random_network, told
from proveout.weigh.beside import Beside
from proveout.weigh.likelihoods import (
    FLOOR,
    is_quiet,
    likelihood,
    log_likelihoods,
    rates_of,
    seen_likelihood,
    state_seen,
)
from proveout.weigh.posteriors import sets

AB = ("a", "b")


def test_one_cause_without_background_gives_back_its_frequencies() -> None:
    how = a_cpt("x", {"a": (0.5, 0.3)}, (0.0, 0.0))
    seen = likelihood(how, ("a",), sets(1, 1))
    np.testing.assert_allclose(seen, [[1.0, 0.0, 0.0], [0.2, 0.5, 0.3]], rtol=1e-15, atol=0)


def test_background_alone_gives_itself_back() -> None:
    seen = likelihood(a_cpt("x", {}, (0.02, 0.01)), AB, sets(2, 2))
    np.testing.assert_allclose(seen, [[0.97, 0.02, 0.01]] * 4, rtol=1e-14)


def test_two_causes_of_one_state_are_a_noisy_or() -> None:
    seen = likelihood(a_cpt("x", {"a": 0.8, "b": 0.9}, 0.01), AB, sets(2, 2))
    np.testing.assert_allclose(
        seen[:, 1], [0.01, 1 - 0.99 * 0.2, 1 - 0.99 * 0.1, 1 - 0.99 * 0.02], rtol=1e-14
    )


def test_several_states_share_in_proportion_to_their_rates() -> None:
    how = a_cpt("x", {"a": (0.6, 0.2), "b": (0.1, 0.4)}, (0.02, 0.03))
    seen = likelihood(how, AB, sets(2, 2))
    for row, present in zip(seen, [(), ("a",), ("b",), ("a", "b")], strict=True):
        np.testing.assert_allclose(row, list(chances(how, present).values()), rtol=1e-13)
    np.testing.assert_allclose(seen.sum(axis=1), 1.0, rtol=1e-15)


def test_causes_out_of_play_are_left_out_and_their_order_is_nothing() -> None:
    forward = a_cpt("x", {"a": 0.6, "b": 0.3, "z": 0.9}, 0.01)
    backward = a_cpt("x", {"z": 0.9, "b": 0.3, "a": 0.6}, 0.01)
    seen = likelihood(forward, AB, sets(2, 2))
    np.testing.assert_array_equal(seen, likelihood(backward, AB, sets(2, 2)))
    np.testing.assert_array_equal(seen, likelihood(a_cpt("x", {"a": 0.6, "b": 0.3}, 0.01), AB, sets(2, 2)))


def test_frequencies_that_sum_to_one_stay_finite() -> None:
    seen = likelihood(a_cpt("x", {"a": (0.7, 0.3)}, (0.0, 0.0)), ("a",), sets(1, 1))
    np.testing.assert_allclose(seen[1], [0.0, 0.7, 0.3], atol=1e-11)


def test_a_table_of_nothing_is_always_normal() -> None:
    np.testing.assert_array_equal(likelihood(a_cpt("x", {}, 0.0), (), sets(0, 3)), [[1.0, 0.0]])


def test_a_mixture_is_the_weighted_sum_of_its_states() -> None:
    how = a_cpt("x", {"a": (0.5, 0.3)}, (0.02, 0.01))
    member = sets(1, 1)
    columns = likelihood(how, ("a",), member)
    mixed = seen_likelihood(told(how, ok=0.5, bad=0.2, worse=0.3), ("a",), member)
    np.testing.assert_allclose(mixed, columns @ [0.5, 0.2, 0.3], rtol=1e-15)


@pytest.mark.parametrize("state", ["ok", "normal", "bad", "worse"])
def test_all_the_weight_on_one_state_is_a_decided_reading(state: str) -> None:
    how = a_cpt("x", {"a": (0.5, 0.3)}, (0.02, 0.01))
    member = sets(1, 1)
    decided = seen_likelihood(told(how, state), ("a",), member)
    np.testing.assert_array_equal(seen_likelihood(told(how, **{state: 1.0}), ("a",), member), decided)
    column = likelihood(how, ("a",), member)[:, {"bad": 1, "worse": 2}.get(state, 0)]
    np.testing.assert_allclose(decided, column, rtol=1e-15)


@pytest.mark.parametrize(("size", "parents"), [(6, 5), (16, 5), (16, 16), (24, 12)])
@pytest.mark.parametrize("seed", range(8))
def test_the_logarithms_are_those_of_the_likelihoods(seed: int, size: int, parents: int) -> None:
    # of many sets, what names few causes is worked out choice by choice, beside what names many
    network = random_network(seed, causes=size, observables=8, parents=parents)
    causes, member = tuple(sorted(network.priors)), sets(size, 3)
    seen = [np.maximum(seen_likelihood(e, causes, member), FLOOR) for e in network.evidence]
    np.testing.assert_allclose(log_likelihoods(network, causes, member), np.log(seen), rtol=0, atol=1e-12)


def test_several_observables_side_by_side_are_as_each_alone() -> None:
    network = random_network(5, causes=6, observables=8)
    causes, member = tuple(sorted(network.priors)), sets(6, 3)
    cpts = [None, *(e.cpt for e in network.evidence), None]
    beside = Beside([rates_of(t) if t else None for t in cpts], causes)
    found = beside.of(member)
    alone = [likelihood(t, causes, member) if t else np.ones((len(member), 1)) for t in cpts]
    np.testing.assert_allclose(found, np.hstack(alone), rtol=1e-13)
    some = np.array([0, 30, 7, 41])
    np.testing.assert_array_equal(beside.of(member[some]), found[some])  # to the last digit
    assert beside.first.tolist() == np.cumsum([0, *(part.shape[1] for part in alone)]).tolist()


def test_the_impossible_is_held_at_the_floor() -> None:
    seen = log_likelihoods(a_network({"a": 0.1}, told(a_cpt("x", {"a": 0.5}))), ("a",), sets(1, 1))
    np.testing.assert_allclose(np.exp(seen), [[FLOOR, 0.5]], rtol=1e-12)


def test_what_was_seen_in_words() -> None:
    how = a_cpt("x", {"a": 0.5})
    assert state_seen(told(how)) == "bad"
    assert state_seen(told(how, bad=0.38, ok=0.62)) == "bad 0.38, ok 0.62"
    assert is_quiet(told(how, "ok"))
    assert not is_quiet(told(how, ok=0.99, bad=0.01))
