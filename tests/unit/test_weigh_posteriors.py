"""Exact posteriors over sets of causes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from helpers_weigh import a_cpt, a_network, brute_force, random_network, told
from proveout.model.belief import Posterior
from proveout.weigh.posteriors import leading, place_of, posterior, sets


@pytest.mark.parametrize(("causes", "at_once"), [(0, 3), (1, 3), (2, 3), (5, 2), (7, 3), (12, 12)])
def test_every_set_of_at_most_so_many_occurs_once(causes: int, at_once: int) -> None:
    member = sets(causes, at_once)
    assert len(member) == sum(math.comb(causes, k) for k in range(at_once + 1))
    assert len({row.tobytes() for row in member}) == len(member)
    assert not member[0].any()
    assert member.sum(axis=1).max(initial=0) == min(causes, at_once)
    assert (np.diff(member.sum(axis=1)) >= 0).all()


@pytest.mark.parametrize(("causes", "at_once"), [(1, 1), (5, 2), (9, 3), (6, 6)])
def test_each_set_is_found_at_its_place(causes: int, at_once: int) -> None:
    for place, row in enumerate(sets(causes, at_once)):
        assert place_of(tuple(np.flatnonzero(row).tolist()), causes) == place


def test_sets_are_shared_and_cannot_be_spoilt() -> None:
    with pytest.raises(ValueError, match="read-only"):
        sets(4, 2)[0, 0] = True


def test_nothing_in_play_leaves_the_empty_set_alone() -> None:
    answer = posterior(a_network({}, told(a_cpt("x", {"a": 0.9}, 0.02), "ok"), at_once=3))
    assert answer.causes == ()
    assert answer.not_in_book == 1.0
    assert answer.confidence() == {}
    assert math.isclose(math.exp(answer.log_evidence), 0.98, rel_tol=1e-12)
    assert leading(answer) == ("", 1.0)


def test_no_evidence_leaves_the_priors() -> None:
    answer = posterior(a_network({"a": 0.3, "b": 0.01}))
    assert answer.confidence() == pytest.approx({"a": 0.3, "b": 0.01}, rel=1e-14)
    assert answer.not_in_book == pytest.approx(0.7 * 0.99, rel=1e-14)
    assert answer.log_evidence == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize("at_once", [0, 1, 2, 3, 5])
def test_sets_beyond_the_limit_are_left_out_and_no_others(at_once: int) -> None:
    full = random_network(7, causes=5, observables=6)
    network = a_network(full.priors, *full.evidence, at_once=at_once)
    confidence, nothing, evidence = brute_force(network)
    answer = posterior(network)
    assert answer.confidence() == pytest.approx(confidence, abs=1e-13)
    assert answer.not_in_book == pytest.approx(nothing, abs=1e-13)
    assert math.exp(answer.log_evidence) == pytest.approx(evidence, rel=1e-12)


def test_a_shared_cause_is_explained_away() -> None:
    how = a_cpt("x", {"a": 0.9, "b": 0.9}, 0.001)
    alone = posterior(a_network({"a": 0.02, "b": 0.02}, told(how)))
    proof = told(a_cpt("y", {"b": 0.97}, 0.01))
    both = posterior(a_network({"a": 0.02, "b": 0.02}, told(how), proof))
    assert both.confidence()["b"] > alone.confidence()["b"] > 0.4
    assert both.confidence()["a"] < alone.confidence()["a"] / 5


def test_contradictory_and_impossible_evidence_stays_finite() -> None:
    """Nothing explains y, and x and z exclude each other but for the floor."""
    evidence = [
        told(a_cpt("x", {"a": 0.9})),
        told(a_cpt("y", {})),
        told(a_cpt("z", {"b": 0.9})),
    ]
    answer = posterior(a_network({"a": 0.01, "b": 0.02}, *evidence, at_once=1))
    assert np.isfinite(answer.prob).all()
    assert math.isfinite(answer.log_evidence)
    assert answer.prob.sum() == pytest.approx(1.0, rel=1e-15)
    assert leading(answer)[0] == "b"


def test_hundreds_of_impossible_observations_stay_finite() -> None:
    answer = posterior(a_network({"a": 0.01}, *[told(a_cpt(f"x{i}", {})) for i in range(300)]))
    assert answer.confidence()["a"] == pytest.approx(0.01, rel=1e-9)
    assert answer.log_evidence == pytest.approx(300 * math.log(1e-15), rel=1e-12)


def test_confidence_never_passes_one() -> None:
    """Sums of rounded probabilities can, by a last digit."""
    for seed in range(40):
        network = random_network(seed, causes=6, observables=12)
        proof = told(a_cpt("zz", {"c00": 0.97}, 1e-9))
        answer = posterior(a_network(network.priors, *network.evidence, proof, proof, proof))
        assert all(0.0 <= p <= 1.0 for p in answer.confidence().values())


def _posterior(prob: list[float]) -> Posterior:
    """Return a posterior over nothing, a, b."""
    member = np.array([[0, 0], [1, 0], [0, 1]], dtype=np.bool_)
    return Posterior(AB, member, np.array(prob), 0.0, np.log(prob), np.zeros((0, 3)))


AB = ("a", "b")


@pytest.mark.parametrize(
    ("prob", "expected"),
    [
        ([0.2, 0.3, 0.5], ("b", 0.5)),
        ([0.5, 0.3, 0.2], ("", 0.5)),
        ([0.2, 0.4, 0.4], ("a", 0.4)),
        ([0.2, 0.4, 0.4 + 1e-15], ("a", 0.4)),
        ([0.4, 0.4, 0.2], ("a", 0.4)),
    ],
)
def test_who_leads(prob: list[float], expected: tuple[str, float]) -> None:
    assert leading(_posterior(prob)) == expected
