"""Noisy-OR: Pearl, Probabilistic Reasoning in Intelligent Systems, Morgan Kaufmann 1988, section 4.3.2.

P(effect | causes present) = 1 − (1 − leak) Π (1 − p). Formula as published, numbers worked from it.
"""

from __future__ import annotations

import pytest

from helpers_weigh import a_cpt
from proveout.weigh.likelihoods import likelihood
from proveout.weigh.posteriors import sets


@pytest.mark.parametrize(
    ("strengths", "leak", "expected"),
    [
        ((0.8, 0.9), 0.0, 0.98),
        ((0.8, 0.9), 0.01, 0.9802),
        ((0.6, 0.4), 0.0, 0.76),
        ((0.8, 0.3), 0.0, 0.86),
        ((), 0.01, 0.01),
        ((0.5, 0.5, 0.5), 0.0, 0.875),
    ],
)
def test_all_causes_present(strengths: tuple[float, ...], leak: float, expected: float) -> None:
    causes = tuple("abc"[: len(strengths)])
    how = a_cpt("effect", dict(zip(causes, strengths, strict=True)), leak)
    everything = likelihood(how, causes, sets(len(causes), len(causes)))[-1]
    assert everything[1] == pytest.approx(expected, abs=1e-12)
