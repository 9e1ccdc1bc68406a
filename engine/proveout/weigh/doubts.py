"""What the answer hangs on: observations at odds with the rest, and those that decide which cause leads."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from proveout.model.atom import RESULT, Observable
from proveout.model.belief import Network, Posterior, Sensitivity, Surprise
from proveout.weigh.likelihoods import state_seen
from proveout.weigh.posteriors import by_cause, leader, leading, log_sum
from proveout.weigh.rates import rate_doubts

#: An observation less likely than this, given everything else, is a candidate for repeating.
SURPRISING = 0.05

#: A code or symptom is why the vehicle came, and rare by itself: it is at odds with the rest only where the
#: rest makes it this many times rarer than it is alone (ten decibans against it). No such reason brings a
#: result.
RARER = 10.0


def sensitivity(
    network: Network, posterior: Posterior, off: Mapping[str, float] | None = None
) -> Sensitivity:
    """Return what the answer hangs on: surprising and deciding observations, and base rates.

    Args:
        network: what was weighed.
        posterior: what follows from it.
        off: by which factor the base rate of each cause may be off, as far as somebody said.
    """
    seen = posterior.log_seen
    whole = posterior.log_prior + seen.sum(axis=0)
    without = whole - seen
    top = without.max(axis=1, keepdims=True)
    scaled = np.exp(without - top)
    total = scaled.sum(axis=1)
    expected = np.exp(log_sum(whole) - np.log(total) - top[:, 0])
    return Sensitivity(
        surprises=_surprises(network, posterior, expected.tolist()),
        pivots=_pivots(network, posterior, scaled / total[:, None]),
        rates=rate_doubts(posterior, off or {}),
    )


def _surprises(network: Network, posterior: Posterior, expected: list[float]) -> tuple[Surprise, ...]:
    """Return the surprising observations, the most unlikely first.

    ``expected`` is the probability of each piece of evidence given the prior and all other evidence.
    """
    found = [
        Surprise(e.cpt.observable, e.said or state_seen(e), p)
        for j, (e, p) in enumerate(zip(network.evidence, expected, strict=True))
        if p < SURPRISING and (e.cpt.observable.kind == RESULT or p * RARER <= _alone(posterior, j))
    ]
    return tuple(sorted(found, key=lambda s: (s.expected, s.observable)))


def _alone(posterior: Posterior, index: int) -> float:
    """Return the probability of one piece of evidence from the prior alone."""
    before = posterior.log_prior
    return float(np.exp(log_sum(before + posterior.log_seen[index]) - log_sum(before)))


def _pivots(
    network: Network, posterior: Posterior, prob: NDArray[np.float64]
) -> tuple[tuple[Observable, str, float], ...]:
    """Return the observations without which another cause leads, or none does, in canonical order.

    ``prob`` (evidence, sets) is the probability of each set without one piece of evidence each.
    """
    confidence = by_cause(prob, posterior.member)
    now, _ = leading(posterior)
    found = []
    for j, evidence in enumerate(network.evidence):
        then, confident = leader(posterior.causes, confidence[j], float(prob[j, 0]))
        if then != now:
            found.append((evidence.cpt.observable, then, confident))
    return tuple(found)
