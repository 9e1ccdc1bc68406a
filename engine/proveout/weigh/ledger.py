"""Ledgers: for each cause, how much each piece of evidence moved its odds, in decibans.

A deciban is 10 log10 of a ratio of odds (Good, Probability and the Weighing of Evidence, 1950).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from proveout.model.belief import Entry, Evidence, Ledger, Network, Posterior
from proveout.weigh.likelihoods import state_seen
from proveout.weigh.posteriors import by_cause, log_sum

#: Decibans in one unit of natural log-odds.
DECIBANS = 10.0 / np.log(10.0)

#: A sum of scaled weights below this has lost digits to underflow; a difference this close to nothing beside
#: the total, to cancellation.
_TINY, _CLOSE = 1e-250, 1e-4


def ledgers(network: Network, posterior: Posterior) -> tuple[Ledger, ...]:
    """Return one ledger for each cause, in the order of ``posterior.causes``.

    The first entry is the log-odds before any evidence (among the sets considered); each further one is
    what its piece of evidence added, in canonical order. They sum to the log-odds after all of it.
    """
    if not posterior.causes:
        return ()
    stages = np.cumsum(np.vstack([posterior.log_prior, posterior.log_seen]), axis=0)
    odds = DECIBANS * _log_odds(stages, posterior.member)
    return tuple(_ledger(network, cause, odds[:, i]) for i, cause in enumerate(posterior.causes))


def _log_odds(stages: NDArray[np.float64], member: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return the log-odds of each cause at each stage from unnormalised log weights (stages, sets)."""
    scaled = np.exp(stages - stages.max(axis=1, keepdims=True))
    total = scaled.sum(axis=1, keepdims=True)
    present = by_cause(scaled, member)
    absent = total - present
    lost = (present < _TINY) | (absent < _CLOSE * total)
    odds = np.log(np.where(lost, 1.0, present)) - np.log(np.where(lost, 1.0, absent))
    for stage, cause in np.argwhere(lost):  # the near certain, summed again in their own scale
        inside = member[:, cause]
        odds[stage, cause] = log_sum(stages[stage, inside]) - log_sum(stages[stage, ~inside])
    return np.asarray(odds)


def _ledger(network: Network, cause: str, odds: NDArray[np.float64]) -> Ledger:
    """Write the column of one cause from its log-odds in decibans after each stage."""
    first = Entry("prior", "", float(odds[0]))
    steps = np.diff(odds).tolist()
    rest = [_entry(e, cause, step) for e, step in zip(network.evidence, steps, strict=True)]
    return Ledger(cause, (first, *rest), float(odds[-1]))


def _entry(evidence: Evidence, cause: str, decibans: float) -> Entry:
    """Write one line; the rules are those on this cause and those on the background it is held against."""
    spoke = evidence.cpt.spoke
    rules = tuple(sorted({*spoke.get(cause, ()), *spoke.get("", ())}))
    eased = dict(evidence.eased).get(cause, "")
    return Entry(str(evidence.cpt.observable), state_seen(evidence), decibans, rules, eased)
