"""Odds-likelihood updating.

Duda, Hart and Nilsson, Subjective Bayesian methods for rule-based inference systems, 1976:

LS = P(E|H)/P(E|not H) multiplies the odds when E is seen, LN = P(not E|H)/P(not E|not H) when it is not.
Numbers worked from the formulas. Their interpolation for uncertain evidence is another model than ours
(mixed states by probability of conformity) and is not checked here.
"""

from __future__ import annotations

import pytest

from helpers_weigh import a_cpt, a_network, told
from proveout.model.belief import Ledger
from proveout.weigh.ledger import ledgers
from proveout.weigh.posteriors import posterior


def after(prior: float, if_present: float, if_absent: float, state: str) -> tuple[float, Ledger]:
    """Return the confidence in one cause and its ledger after one test came out so."""
    how = a_cpt("e", {"h": 1 - (1 - if_present) / (1 - if_absent)}, if_absent)
    network = a_network({"h": prior}, told(how, state))
    answer = posterior(network)
    return answer.confidence()["h"], ledgers(network, answer)[0]


@pytest.mark.parametrize(
    ("prior", "if_present", "if_absent", "expected"),
    [(0.01, 0.8, 0.04, 0.1681), (0.03, 0.9, 0.003, 0.9027), (0.1, 0.9, 0.1, 0.5), (0.5, 0.8, 0.4, 0.6667)],
)
def test_sufficiency(prior: float, if_present: float, if_absent: float, expected: float) -> None:
    assert after(prior, if_present, if_absent, "bad")[0] == pytest.approx(expected, abs=5e-5)


def test_necessity() -> None:
    assert after(0.01, 0.91, 0.1, "ok")[0] == pytest.approx(0.00101, abs=5e-6)


@pytest.mark.parametrize("if_present", [0.11, 0.3, 0.6, 0.99])
def test_what_speaks_for_when_seen_speaks_against_when_not(if_present: float) -> None:
    _, seen = after(0.05, if_present, 0.1, "bad")
    _, unseen = after(0.05, if_present, 0.1, "ok")
    assert seen.entries[1].decibans > 0 > unseen.entries[1].decibans
