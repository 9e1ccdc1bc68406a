"""Random two-layer networks against pyagrum, an independent library of exact inference.

Up to 12 causes, all sets of them allowed, so that our answer is exact; one to three abnormal states; normal,
abnormal and mixed evidence. The tables that pyagrum gets are written out in full, number by number.
"""

from __future__ import annotations

import math

import pytest

from helpers_pyagrum import by_pyagrum
from helpers_weigh import a_network, random_network, told
from proveout.model.belief import Network
from proveout.weigh.posteriors import posterior

SIZES = [(1, 3), (2, 4), (3, 6), (4, 8), (5, 8), (6, 10), (7, 10), (8, 10), (9, 9), (10, 8), (11, 8), (12, 8)]


def agree(network: Network) -> None:
    """Hold our posterior against pyagrum's to 1e-9."""
    confidence, evidence = by_pyagrum(network)
    answer = posterior(network)
    assert answer.confidence() == pytest.approx(confidence, rel=0, abs=1e-9)
    assert math.exp(answer.log_evidence) == pytest.approx(evidence, rel=1e-9)


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize(("causes", "observables"), SIZES)
def test_posterior(causes: int, observables: int, seed: int) -> None:
    agree(random_network(1000 * causes + seed, causes, observables))


def test_an_observable_that_answers_to_all_twelve() -> None:
    agree(random_network(5, causes=12, observables=3, parents=12))


def test_rare_causes_and_many_observations() -> None:
    """Base rates of a few in a thousand, as in a book."""
    full = random_network(11, causes=8, observables=14, parents=3)
    agree(a_network({c: p / 50 for c, p in full.priors.items()}, *full.evidence))


def test_nothing_but_normal_observations() -> None:
    full = random_network(12, causes=6, observables=9)
    agree(a_network(full.priors, *[told(e.cpt, "ok") for e in full.evidence]))
