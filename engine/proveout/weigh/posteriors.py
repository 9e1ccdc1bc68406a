"""The posterior over sets of causes: exact, over every set up to the size that the network allows."""

from __future__ import annotations

from functools import lru_cache
from itertools import chain, combinations
from math import comb

import numpy as np
from numpy.typing import NDArray

from proveout.model.belief import Network, Posterior
from proveout.weigh.likelihoods import log_likelihoods

#: Confidences that differ by less are a tie; rounding errors do not pick a leader.
_TIE_DIGITS = 12


def posterior(network: Network) -> Posterior:
    """Return P(h | evidence) for every set h of at most ``network.at_once`` causes, the empty one included.

    P(h) ∝ Π over c in h of π/(1 − π), times the probability of each piece of evidence. All in logarithms.
    """
    causes = tuple(sorted(network.priors))
    member = sets(len(causes), network.at_once)
    before = log_prior(network, member)
    seen = log_likelihoods(network, causes, member)
    weights = before + seen.sum(axis=0)
    top = weights.max()
    prob = np.exp(weights - top)
    total = prob.sum()
    evidence = float(np.log(total) + top - log_sum(before))
    return Posterior(causes, member, prob / total, evidence, before, seen)


@lru_cache(maxsize=4)
def sets(causes: int, at_once: int) -> NDArray[np.bool_]:
    """Return every set of at most ``at_once`` of so many causes; read-only bool array (sets, causes).

    Row 0 is the empty set; then the sets of one, of two, ... in lexical order.
    """
    sizes = range(min(at_once, causes) + 1)
    chosen = [one for size in sizes for one in combinations(range(causes), size)]
    member = np.zeros((len(chosen), causes), dtype=np.bool_)
    rows = np.repeat(np.arange(len(chosen)), [len(one) for one in chosen])
    member[rows, np.fromiter(chain.from_iterable(chosen), dtype=np.intp)] = True
    member.flags.writeable = False
    return member


def place_of(chosen: tuple[int, ...], causes: int) -> int:
    """Return the row at which ``sets`` has a set of so many causes, given by its causes in rising order."""
    size = len(chosen)
    before = sum(comb(causes, smaller) for smaller in range(size + 1))
    return before - 1 - sum(comb(causes - 1 - cause, size - n) for n, cause in enumerate(chosen))


def log_prior(network: Network, member: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return the logarithm of the prior of each set relative to that of the empty one; array (sets,)."""
    prior = np.array([network.priors[cause] for cause in sorted(network.priors)], dtype=np.float64)
    causes, rows = _holding(member)
    odds = np.log(prior) - np.log1p(-prior)
    return np.asarray(np.bincount(rows, weights=odds[causes], minlength=len(member)), dtype=np.float64)


def by_cause(weights: NDArray[np.float64], member: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return for each row of weights (rows, sets) the sum over the sets that hold each cause; (rows, causes).

    Few sets hold a given cause, so this is cheaper than a product with the whole of ``member``.
    """
    causes, holding = _holding(member)
    found = [np.bincount(causes, weights=row[holding], minlength=member.shape[1]) for row in weights]
    return np.array(found, dtype=np.float64).reshape(len(weights), member.shape[1])


#: The arrays last asked for, with the causes and sets of each.
_held: list[tuple[NDArray[np.bool_], tuple[NDArray[np.intp], NDArray[np.intp]]]] = []


def _holding(member: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return cause and set of each entry of an array of sets, by cause; kept where that is read-only."""
    for known, found in _held:
        if known is member:
            return found
    causes, rows = member.T.nonzero()
    if not member.flags.writeable:
        _held[:] = [(member, (causes, rows)), *_held[:3]]
    return causes, rows


def log_sum(weights: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return ln Σ e^w over the last axis without overflow; every w must be finite."""
    top = weights.max(axis=-1, keepdims=True)
    return np.asarray(np.log(np.exp(weights - top).sum(axis=-1)) + top[..., 0])


def leading(posterior: Posterior) -> tuple[str, float]:
    """Return the most likely cause and its confidence, or ("", p) if "not in the book" is likelier than any.

    Ties go to the first id; "not in the book" must be likelier than every cause.
    """
    return leader(
        posterior.causes, by_cause(posterior.prob[None], posterior.member)[0], posterior.not_in_book
    )


def leader(causes: tuple[str, ...], confidence: NDArray[np.float64], nothing: float) -> tuple[str, float]:
    """As ``leading``, for confidences (causes,) and the probability of the empty set."""
    if not causes:
        return "", float(nothing)
    best = int(np.argmax(np.round(confidence, _TIE_DIGITS)))
    if np.round(nothing, _TIE_DIGITS) > np.round(confidence[best], _TIE_DIGITS):
        return "", float(nothing)
    return causes[best], min(float(confidence[best]), 1.0)
