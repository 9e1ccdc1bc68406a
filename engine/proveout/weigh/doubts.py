"""What the answer hangs on: observations at odds with the rest, and those that decide which cause leads."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from proveout.model.atom import RESULT, Observable
from proveout.model.belief import Evidence, Network, Posterior, Sensitivity, Surprise
from proveout.weigh.likelihoods import log_likelihoods, state_seen
from proveout.weigh.posteriors import by_cause, leader, leading, log_prior, log_sum

#: An observation less likely than this, given everything else, is a candidate for repeating.
SURPRISING = 0.05

#: A code or symptom is why the vehicle came, and rare by itself: it is at odds with the rest only where the
#: rest makes it this many times rarer than it is alone (ten decibans against it). No such reason brings a
#: result.
RARER = 10.0


def sensitivity(network: Network, posterior: Posterior) -> Sensitivity:
    """Say which observations the rest makes unlikely, and without which another cause would lead."""
    seen = log_likelihoods(network, posterior.causes, posterior.member)
    before = log_prior(network, posterior.member)
    without = before + seen.sum(axis=0) - seen
    return Sensitivity(
        surprises=_surprises(network, before, seen, without),
        pivots=_pivots(network, posterior, without),
    )


def _surprises(
    network: Network,
    before: NDArray[np.float64],
    seen: NDArray[np.float64],
    without: NDArray[np.float64],
) -> tuple[Surprise, ...]:
    """Give the surprising observations, the most unlikely first.

    Args:
        network: the evidence, one a row of ``seen`` and ``without``.
        before: log prior weight of each set.
        seen: log likelihood of each piece of evidence in each set.
        without: log weight of each set from the prior and all other evidence.
    """
    expected = np.exp(log_sum(without + seen) - log_sum(without))
    alone = np.exp(log_sum(before + seen) - log_sum(before))
    found = [
        Surprise(e.table.observable, e.said or state_seen(e), float(p))
        for e, p, q in zip(network.evidence, expected, alone, strict=True)
        if _is_surprising(e, float(p), float(q))
    ]
    return tuple(sorted(found, key=lambda s: (s.expected, s.observable)))


def _is_surprising(evidence: Evidence, expected: float, alone: float) -> bool:
    """Say whether the rest of the evidence speaks against an observation."""
    if evidence.table.observable.kind == RESULT:
        return expected < SURPRISING
    return expected < SURPRISING and expected * RARER <= alone


def _pivots(
    network: Network, posterior: Posterior, without: NDArray[np.float64]
) -> tuple[tuple[Observable, str, float], ...]:
    """Give the observations without which another cause leads, or none does, in canonical order."""
    prob = np.exp(without - log_sum(without)[:, None])
    confidence = by_cause(prob, posterior.member)
    now, _ = leading(posterior)
    found = []
    for j, evidence in enumerate(network.evidence):
        then, confident = leader(posterior.causes, confidence[j], float(prob[j, 0]))
        if then != now:
            found.append((evidence.table.observable, then, confident))
    return tuple(found)
