"""The cancer network of Korb and Nicholson, Bayesian Artificial Intelligence.

X-ray 0.9 and 0.2, dyspnoea 0.65 and 0.3, with and without cancer; the prior 0.01163, and 0.032 for a smoker
(0.9 × 0.03 + 0.1 × 0.05), follows from pollution and smoking. Posteriors computed with pyagrum 3.3.1 from
the published tables. With a single cause every table of two rows is a noisy-OR.
"""

from __future__ import annotations

import pytest

from helpers_weigh import a_cpt, a_network, told
from proveout.model.belief import Evidence
from proveout.weigh.posteriors import posterior

X_RAY = told(a_cpt("x-ray", {"cancer": 1 - 0.1 / 0.8}, 0.2))
DYSPNOEA = told(a_cpt("dyspnoea", {"cancer": 1 - 0.35 / 0.7}, 0.3))


@pytest.mark.parametrize(
    ("prior", "evidence", "expected"),
    [
        (0.01163, [], 0.01163),
        (0.01163, [X_RAY], 0.0503),
        (0.01163, [DYSPNOEA], 0.02486),
        (0.032, [DYSPNOEA], 0.0668),
    ],
)
def test_posterior(prior: float, evidence: list[Evidence], expected: float) -> None:
    answer = posterior(a_network({"cancer": prior}, *evidence))
    assert answer.confidence()["cancer"] == pytest.approx(expected, abs=5e-5)
