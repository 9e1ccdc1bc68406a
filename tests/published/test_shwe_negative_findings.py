"""Shwe et al., Probabilistic diagnosis using a reformulation of the INTERNIST-1/QMR knowledge base, 1991.

In their two-layer noisy-OR network (534 diseases, 4,040 findings; figures from memory) negative findings
factorise over the diseases, positive ones do not. And Heckerman, A tractable inference algorithm for
diagnosing multiple diseases, 1989: the probability of positive findings by inclusion and exclusion over
their subsets, an algorithm quite unlike ours (formula from memory).
"""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from helpers_weigh import a_cpt, a_network, told
from proveout.model.belief import Evidence, Network
from proveout.weigh.posteriors import posterior

NAMES = [f"d{i}" for i in range(8)]


def diseases_and_findings(seed: int, states: list[str]) -> Network:
    """Return a random network of eight diseases with one finding in each of the states."""
    rng = np.random.default_rng(seed)
    evidence = []
    for j, state in enumerate(states):
        chosen = rng.choice(NAMES, size=4, replace=False)
        given = {str(c): float(rng.uniform(0.05, 0.95)) for c in chosen}
        evidence.append(told(a_cpt(f"f{j}", given, float(rng.uniform(0.001, 0.05))), state))
    return a_network({name: float(rng.uniform(0.005, 0.2)) for name in NAMES}, *evidence)


def spared(evidence: list[Evidence], cause: str) -> float:
    """Return the chance that a disease, present, leaves all these findings alone."""
    return math.prod(1 - e.cpt.given[cause][0] for e in evidence if cause in e.cpt.given)


@pytest.mark.parametrize("seed", range(5))
def test_negative_findings_factorise(seed: int) -> None:
    network = diseases_and_findings(seed, ["ok"] * 12)
    confidence = posterior(network).confidence()
    for cause, prior in network.priors.items():
        odds = prior / (1 - prior) * spared(list(network.evidence), cause)
        assert confidence[cause] == pytest.approx(odds / (1 + odds), rel=1e-12)


def test_positive_findings_do_not() -> None:
    network = diseases_and_findings(0, ["bad"] * 4)
    answer = posterior(network)
    confidence = answer.confidence()
    apart = math.prod(1 - p for p in confidence.values())
    assert abs(answer.not_in_book - apart) > 0.01


def inclusion_exclusion(network: Network) -> float:
    """Return P(evidence): Σ over subsets S of the positive of (−1)^|S| P(S and the negative absent)."""
    positive = [e for e in network.evidence if e.weights[0][0] == "bad"]
    negative = [e for e in network.evidence if e.weights[0][0] == "ok"]
    total = 0.0
    for size in range(len(positive) + 1):
        for subset in combinations(positive, size):
            absent = [*subset, *negative]
            leaks = math.prod(1 - e.cpt.background[0] for e in absent)
            causes = math.prod(1 - p + p * spared(absent, c) for c, p in network.priors.items())
            total += (-1) ** size * leaks * causes
    return total


@pytest.mark.parametrize("seed", range(8))
def test_probability_of_the_evidence(seed: int) -> None:
    network = diseases_and_findings(seed, ["bad"] * 5 + ["ok"] * 4)
    assert math.exp(posterior(network).log_evidence) == pytest.approx(inclusion_exclusion(network), rel=1e-8)
