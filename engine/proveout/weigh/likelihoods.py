"""The probability of what is seen, for every set of causes at once.

Each cause c, and the background, drives an observable at the rate λ = −ln(1 − s); rates add up over the
causes present, and an abnormal state shows with 1 − e^−Λ, split over the states in proportion to their
rates. With one abnormal state this is the noisy-OR (Pearl, Probabilistic Reasoning in Intelligent Systems,
1988, section 4.3).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from proveout.model.belief import CPT, Evidence, Network
from proveout.weigh.watching import comes_back

#: No observation counts as less likely than this, so that one misreading is never infinite evidence and a
#: case that the book holds impossible still has a posterior: the sets that explain most of it lead.
FLOOR = 1e-15

#: Frequencies of one cause that sum to 1 or more are refused by the check of the book; nearest to it.
_NEARLY_ONE = 1.0 - 1e-12

#: From so many sets on, an observable that answers to so few causes that each choice of them comes about in
#: four sets on the average is worked out choice by choice.
_MANY, _SPARED = 500, 4


def likelihood(cpt: CPT, causes: tuple[str, ...], member: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return P(normal | h) in column 0 and P(state k | h) in column 1 + k, for each set h of causes.

    Args:
        cpt: how the observable answers to causes; causes of it that are not in ``causes`` are left out.
        causes: the causes in play, one a column of ``member``.
        member: bool array (sets, causes).

    Returns:
        Array (sets, 1 + states); the rows sum to 1.
    """
    column = {cause: i for i, cause in enumerate(causes)}
    named = sorted(cause for cause in cpt.given if cause in column)
    own = _rates([cpt.given[cause] for cause in named], len(cpt.states))
    rates = member[:, [column[cause] for cause in named]] @ own
    rates += _rates([cpt.background], len(cpt.states))
    total = rates.sum(axis=1)
    shown = -np.expm1(-total)
    share = np.divide(shown, total, out=np.zeros_like(total), where=total > 0)
    return np.column_stack([np.exp(-total), rates * share[:, None]])


def _rates(frequencies: Sequence[tuple[float, ...]], states: int) -> NDArray[np.float64]:
    """Turn frequencies, one row a cause, into rates that split −ln(1 − their sum) in proportion."""
    given = np.array(frequencies, dtype=np.float64).reshape(len(frequencies), states)
    total = given.sum(axis=1)
    rate = -np.log1p(-np.minimum(total, _NEARLY_ONE))
    scale = np.divide(rate, total, out=np.zeros_like(total), where=total > 0)
    return np.asarray(given * scale[:, None])


class Rates(Struct, frozen=True):
    """A table turned into rates, once for all cases that share it.

    Attributes:
        cpt: the table.
        given: for each cause its rates, one a state, which add up over the causes present.
        background: those of the background.
    """

    cpt: CPT
    given: Mapping[str, tuple[float, ...]]
    background: tuple[float, ...]


def rates_of(cpt: CPT) -> Rates:
    """Return the rates of a table."""
    rows = _rates([*cpt.given.values(), cpt.background], len(cpt.states)).tolist()
    *given, background = map(tuple, rows)
    return Rates(cpt, dict(zip(cpt.given, given, strict=True)), background)


def seen_likelihood(
    evidence: Evidence, causes: tuple[str, ...], member: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Return P(what was seen | h) for each set h: mixture of its states, Σ w_k P(k | h); array (sets,)."""
    normal, mixture = mixture_of(evidence)
    return np.asarray(likelihood(evidence.cpt, causes, member) @ np.append(normal, mixture))


def log_likelihoods(
    network: Network, causes: tuple[str, ...], member: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Return ln P(evidence j | h), never below ln ``FLOOR``; array (evidence, sets).

    It is the logarithm of the mixture that ``seen_likelihood`` gives, from two sums over the causes of each
    set, for all evidence at once: of the rates in all, Λ, and of the rates by the weights of their states;
    with w for normal, P = w e^−Λ + Σ w_k λ_k (1 − e^−Λ) / Λ.
    """
    column = {cause: i for i, cause in enumerate(causes)}
    seen = np.empty((len(network.evidence), len(member)))
    mixtures = [mixture_of(evidence) for evidence in network.evidence]
    normal = np.array([w for w, _ in mixtures])[:, None]
    present = _present(member)
    rates, mixed = _sums(network, mixtures, column)
    loud = np.array([any(mixture) for _, mixture in mixtures], dtype=bool)
    seen[~loud] = np.log(normal[~loud]) - rates[~loud] @ present
    if len(member) >= _MANY:
        named = (rates[:, :-1] > 0).sum(axis=1)
        few = loud & (_SPARED * 2.0**named <= len(member))
        if few.any():
            seen[few] = _by_few(rates[few], mixed[few], normal[few], present, int(named[few].max()))
        loud &= ~few
    if loud.any():
        seen[loud] = _log_chance(rates[loud] @ present, mixed[loud] @ present, normal[loud])
    for row, evidence, (w, mixture) in zip(seen, network.evidence, mixtures, strict=True):
        if evidence.cpt.mended:
            back = comes_back(evidence.cpt, column, member)
            row[:] = np.log(w * (1.0 - back) + mixture[0] * back)
    return np.maximum(seen, np.log(FLOOR), out=seen)


def _log_chance(
    total: NDArray[np.float64], mixed: NDArray[np.float64], normal: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return ln P of the mixtures from their two sums, and the weight of normal; arrays (evidence, sets)."""
    share = np.divide(-np.expm1(-total), total, out=np.zeros_like(total), where=total > 0)
    return np.asarray(np.log(np.maximum(mixed * share + normal * np.exp(-total), FLOOR)))


def _by_few(
    rates: NDArray[np.float64],
    mixed: NDArray[np.float64],
    normal: NDArray[np.float64],
    present: NDArray[np.float64],
    most: int,
) -> NDArray[np.float64]:
    """Return what ``_log_chance`` gives for evidence that names few causes, ``most`` of them at most.

    Many sets hold the same of these, so that it is worked out once for each choice of them and looked up.
    """
    bits = 2.0 ** np.arange(most)
    chosen = np.arange(2**most)[:, None] // bits.astype(np.int64) % 2
    named = np.argsort(rates[:, :-1] <= 0, axis=1, kind="stable")[:, :most]
    rows = np.arange(len(rates))[:, None]
    total, weighed = (own[rows, named] @ chosen.T + own[:, -1:] for own in (rates, mixed))
    chances = _log_chance(total, weighed, normal)
    place = np.zeros(rates.shape)
    place[rows, named] = bits
    place[:, -1] = np.arange(len(rates)) * 2.0**most
    return chances.ravel().take((place @ present).astype(np.intp))


#: The array of sets last asked for, with what ``_present`` gave; kept where it is read-only and not large.
_held: list[tuple[NDArray[np.bool_], NDArray[np.float64]]] = []
_LARGE = 2**20


def _present(member: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return (causes + 1, sets): 1.0 for each cause that a set holds; the last row is of the background."""
    if _held and _held[0][0] is member:
        return _held[0][1]
    present = np.ones((member.shape[1] + 1, len(member)))
    present[:-1] = member.T
    if not member.flags.writeable and present.nbytes < _LARGE:
        _held[:] = [(member, present)]
    return present


def _sums(
    network: Network, mixtures: Sequence[tuple[float, Sequence[float]]], column: Mapping[str, int]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return (evidence, causes + 1), the background last: the rates in all, and by the weights of states."""
    wide = len(column) + 1
    at: list[int] = []
    begins: list[int] = []
    given: list[float] = []
    weights: list[float] = []
    for n, (evidence, (_, mixture)) in enumerate(zip(network.evidence, mixtures, strict=True)):
        for cause, row in (*evidence.cpt.given.items(), ("", evidence.cpt.background)):
            place = column.get(cause, -1) if cause else wide - 1
            if place >= 0:
                at.append(n * wide + place)
                begins.append(len(given))
                given += row
                weights += mixture
    rates, mixed = np.zeros((2, len(network.evidence), wide))
    if at:
        figures = np.array(given)
        frequency = np.add.reduceat(figures, begins)
        weighed = np.add.reduceat(figures * weights, begins)
        rate = -np.log1p(-np.minimum(frequency, _NEARLY_ONE))
        rates.put(at, rate)
        mixed.put(at, np.divide(rate, frequency, out=np.zeros_like(rate), where=frequency > 0) * weighed)
    return rates, mixed


def mixture_of(evidence: Evidence) -> tuple[float, list[float]]:
    """Return the weight with which an observable was seen normal, and those of its abnormal states."""
    place = {state: n for n, state in enumerate(evidence.cpt.states)}
    normal, mixture = 0.0, [0.0] * len(place)
    for state, weight in evidence.weights:
        if state in place:
            mixture[place[state]] += weight
        else:
            normal += weight
    return normal, mixture


def is_quiet(evidence: Evidence) -> bool:
    """Say whether nothing abnormal was seen, not even with a small weight."""
    return not any(state in evidence.cpt.states for state, _ in evidence.weights)


def state_seen(evidence: Evidence) -> str:
    """Return the state in words: ``leaks``, or ``holds 0.62, leaks 0.38`` for a reading too near a limit."""
    if len(evidence.weights) == 1:
        return evidence.weights[0][0]
    return ", ".join(f"{state} {weight:.2f}" for state, weight in evidence.weights)
