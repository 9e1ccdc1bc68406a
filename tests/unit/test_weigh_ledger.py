"""Ledgers add up and say where each amount came from."""

from __future__ import annotations

import math

import pytest

from helpers_weigh import a_cpt, a_network, random_network, told
from proveout.model.atom import Observable
from proveout.model.belief import CPT, Evidence
from proveout.weigh.ledger import ledgers
from proveout.weigh.posteriors import posterior

DIRECT = a_cpt("seal", {"cap": 0.9}, 0.05)


def decibans(odds: float) -> float:
    return 10.0 * math.log10(odds)


def test_one_cause_and_one_test_by_hand() -> None:
    network = a_network({"cap": 0.02}, told(DIRECT))
    (ledger,) = ledgers(network, posterior(network))
    prior, test = ledger.entries
    assert prior.decibans == pytest.approx(decibans(0.02 / 0.98), abs=1e-12)
    assert test.decibans == pytest.approx(decibans((1 - 0.95 * 0.1) / 0.05), abs=1e-12)
    assert ledger.total == pytest.approx(prior.decibans + test.decibans, abs=1e-12)
    assert (prior.what, test.what, test.said) == ("prior", "result seal", "bad")


def test_the_prior_is_that_among_the_sets_considered() -> None:
    network = a_network({"a": 0.1, "b": 0.1}, at_once=1)
    odds = 0.1 / 0.9
    for ledger in ledgers(network, posterior(network)):
        assert ledger.entries[0].decibans == pytest.approx(decibans(odds / (1 + odds)), abs=1e-12)


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("at_once", [1, 2, 7])
def test_entries_sum_to_the_log_odds(seed: int, at_once: int) -> None:
    full = random_network(seed, causes=7, observables=9)
    network = a_network(full.priors, *full.evidence, at_once=at_once)
    answer = posterior(network)
    for ledger, cause in zip(ledgers(network, answer), answer.causes, strict=True):
        confidence = answer.confidence()[cause]
        assert ledger.cause == cause
        assert len(ledger.entries) == 10
        assert math.fsum(e.decibans for e in ledger.entries) == pytest.approx(ledger.total, abs=1e-9)
        assert ledger.total == pytest.approx(decibans(confidence / (1 - confidence)), abs=1e-9)


def test_near_certainty_keeps_its_digits() -> None:
    """Forty proofs: the odds pass what a plain probability can hold."""
    network = a_network(
        {"cap": 0.02, "hose": 0.01}, *[told(a_cpt(f"x{i:02}", {"cap": 0.9})) for i in range(40)]
    )
    cap, hose = ledgers(network, posterior(network))
    assert cap.total == pytest.approx(decibans(0.02 / 0.98) + 40 * decibans(0.9 / 1e-15), rel=1e-12)
    assert hose.total == pytest.approx(decibans(0.01 / 0.99), abs=1e-9)


def test_evidence_on_others_moves_a_cause_by_explaining_away() -> None:
    both = a_cpt("x", {"cap": 0.8, "hose": 0.8}, 0.001)
    network = a_network({"cap": 0.02, "hose": 0.02}, told(both), told(a_cpt("y", {"hose": 0.95}, 0.01)))
    cap, hose = ledgers(network, posterior(network))
    assert hose.entries[2].decibans > 10
    assert cap.entries[2].decibans < -3


def test_an_entry_names_its_rules() -> None:
    spoke = {"": ("r1", "r9"), "cap": ("r2", "r1"), "hose": ("r3",)}
    how = CPT(Observable("code", "P0442"), ("set",), (0.01,), {"cap": (0.5,), "hose": (0.2,)}, spoke)
    network = a_network({"cap": 0.02, "hose": 0.02, "vent": 0.01}, Evidence(how, (("set", 1.0),)))
    rules = [ledger.entries[1].rules for ledger in ledgers(network, posterior(network))]
    assert rules == [("r1", "r2", "r9"), ("r1", "r3", "r9"), ("r1", "r9")]


def test_a_mixed_reading_says_so() -> None:
    network = a_network({"cap": 0.02}, told(DIRECT, bad=0.25, ok=0.75))
    (ledger,) = ledgers(network, posterior(network))
    assert ledger.entries[1].said == "bad 0.25, ok 0.75"


def test_no_cause_no_ledger() -> None:
    network = a_network({}, told(DIRECT, "ok"))
    assert ledgers(network, posterior(network)) == ()
