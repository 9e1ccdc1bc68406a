"""The chest clinic of Lauritzen and Spiegelhalter, J. R. Statist. Soc. B 50 (1988), where it fits our model.

X-ray answers to "tuberculosis or lung cancer" with 0.98 against 0.05: one cause and its background. That
slice is checked. Dyspnoea (0.1, 0.8, 0.7, 0.9) is no noisy-OR, which would give 0.933 for both causes, and
is left out.
Posteriors computed with pyagrum 3.3.1 from the published tables.
"""

from __future__ import annotations

import math

import pytest

from helpers_weigh import a_cpt, a_network, told
from proveout.weigh.posteriors import posterior

TUBERCULOSIS, LUNG = 0.0104, 0.0550
EITHER = 1 - (1 - TUBERCULOSIS) * (1 - LUNG)


def test_x_ray() -> None:
    x_ray = told(a_cpt("x-ray", {"either": 1 - 0.02 / 0.95}, 0.05))
    answer = posterior(a_network({"either": EITHER}, x_ray))
    either = answer.confidence()["either"]
    assert pytest.approx(0.0648, abs=5e-5) == EITHER
    assert either == pytest.approx(0.5760, abs=5e-5)
    assert math.exp(answer.log_evidence) == pytest.approx(0.11029, abs=5e-6)
    assert either * TUBERCULOSIS / EITHER == pytest.approx(0.0924, abs=5e-5)
    assert either * LUNG / EITHER == pytest.approx(0.4887, abs=5e-5)
