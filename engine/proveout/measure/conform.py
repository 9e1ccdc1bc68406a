"""Conformity of a reading to limits: how probable each result is, given the instrument's uncertainty.

The true value is taken as normal about the reading with the combined standard uncertainty (JCGM 106:2012,
clauses 6 and 7, with a prior that is flat over the limits); a range of readings adds a uniform spread.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from proveout.model.specs import Band

#: A result less probable than this is not carried on: the reading counts as decided against it. About the
#: risk that is left at two standard uncertainties from a limit (guard band of 2u, JCGM 106:2012, 8.3.2).
DROP_BELOW = 0.02

#: Without uncertainty, a value this close (relative) to a limit counts as on it: it absorbs the last
#: binary digits that a change of unit costs.
ON_LIMIT = 1e-12


def normal_cdf(z: float) -> float:
    """Return the standard normal distribution function."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def below(limit: float, low: float, high: float, u: float) -> float:
    """Return P(true value < limit) for a reading somewhere in [low, high] with standard uncertainty u.

    All in one unit; ``limit`` may be infinite. The reading is uniform over [low, high], the error normal.
    """
    if math.isinf(limit):
        return 1.0 if limit > 0 else 0.0
    if u <= 0.0:
        return _uniform_below(limit, low, high)
    if high - low < 1e-6 * u:
        return normal_cdf((limit - (low + high) / 2) / u)
    return u / (high - low) * (_integral((limit - low) / u) - _integral((limit - high) / u))


def _uniform_below(limit: float, low: float, high: float) -> float:
    slack = ON_LIMIT * max(abs(limit), abs(low), abs(high))
    if high - low <= slack:
        return 1.0 if low < limit - slack else 0.0 if low > limit + slack else 0.5
    return min(1.0, max(0.0, (limit - low) / (high - low)))


def _integral(z: float) -> float:
    """Return the integral of the normal distribution function up to z."""
    return z * normal_cdf(z) + math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)


def probability_in(low_limit: float, high_limit: float, low: float, high: float, u: float) -> float:
    """Return the probability of conformity to [low_limit, high_limit] of a reading in [low, high]."""
    return max(0.0, below(high_limit, low, high, u) - below(low_limit, low, high, u))


def band_at(value: float, bands: Sequence[Band]) -> str | None:
    """Return the result of the first band that contains the value; a value on a limit belongs to the band."""
    for band in bands:
        slack = ON_LIMIT * max(abs(value), abs(band.low or 0.0), abs(band.high or 0.0))
        above = band.low is None or value >= band.low - (0.0 if math.isinf(slack) else slack)
        if above and (band.high is None or value <= band.high + (0.0 if math.isinf(slack) else slack)):
            return band.result
    return None


def result_weights(bands: Sequence[Band], low: float, high: float, u: float) -> dict[str | None, float]:
    """Return the probability of each result for a reading in [low, high]; None stands for gaps between bands.

    Bands are tried in order, so the line is cut at every limit and each piece goes to the first band that
    holds it.
    """
    if low == high and (u <= 0.0 or math.isinf(low)):
        return {band_at(low, bands): 1.0}
    weights: dict[str | None, float] = {}
    for left, right, result in _pieces(bands):
        weights[result] = weights.get(result, 0.0) + probability_in(left, right, low, high, u)
    return weights


def results_between(bands: Sequence[Band], low: float, high: float) -> set[str | None]:
    """Return every result that some value in [low, high] has; None where some value has none."""
    return {result for left, right, result in _pieces(bands) if left < high and right > low}


def _pieces(bands: Sequence[Band]) -> list[tuple[float, float, str | None]]:
    """Cut the line at every limit; each piece goes to the first band that holds it."""
    cuts = sorted({edge for band in bands for edge in (band.low, band.high) if edge is not None})
    edges = [-math.inf, *cuts, math.inf]
    return [(a, b, band_at(_inside(a, b), bands)) for a, b in itertools.pairwise(edges)]


def _inside(left: float, right: float) -> float:
    """Return a point inside an interval that may be open-ended."""
    if math.isinf(left) and math.isinf(right):
        return 0.0
    if math.isinf(left):
        return right - 1.0 - abs(right)
    return left + 1.0 + abs(left) if math.isinf(right) else (left + right) / 2


def settle(weights: dict[str, float]) -> tuple[tuple[str, float], ...]:
    """Drop what is less probable than ``DROP_BELOW``, renormalise, and sort by weight, then name."""
    total = sum(weights.values())
    kept = {result: weight for result, weight in weights.items() if weight >= DROP_BELOW * total}
    total = sum(kept.values())
    return tuple(sorted(((r, w / total) for r, w in kept.items()), key=lambda pair: (-pair[1], pair[0])))


def needed_uncertainty(bands: Sequence[Band], value: float) -> float:
    """Return the standard uncertainty at which a reading of that value is decided (inf: any would do)."""
    distances = [abs(value - edge) for band in bands for edge in (band.low, band.high) if edge is not None]
    return min(distances) / _Z_DROP if distances else math.inf


#: The standard normal quantile of 1 - DROP_BELOW.
_Z_DROP = 2.053748910631823
