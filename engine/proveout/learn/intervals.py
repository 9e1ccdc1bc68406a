"""Quantiles of the gamma and beta distributions, by which learned figures are given with an interval.

The distribution functions are the regularised incomplete gamma and beta functions, by the series and
continued fractions of Abramowitz and Stegun 6.5.29, 6.5.31 and 26.5.8; the quantiles by halving an interval.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, lgamma, log, log1p

#: Relative accuracy of the functions; the loops end far earlier.
_TINY, _ENOUGH, _MOST = 1e-300, 1e-14, 10_000


def gamma_interval(shape: float, rate: float, mass: float = 0.95) -> tuple[float, float]:
    """Return the central interval of a gamma distribution that holds ``mass`` of it; shape and rate > 0."""
    tail = (1 - mass) / 2
    high = (shape + 10 * (shape**0.5 + 1) + 20) / rate
    return (
        _solve(lambda x: gamma_cdf(shape, rate * x), tail, 0.0, high),
        _solve(lambda x: gamma_cdf(shape, rate * x), 1 - tail, 0.0, high),
    )


def beta_interval(a: float, b: float, mass: float = 0.95) -> tuple[float, float]:
    """Return the central interval of a beta distribution that holds ``mass`` of it; a and b > 0."""
    tail = (1 - mass) / 2
    return (
        _solve(lambda x: beta_cdf(a, b, x), tail, 0.0, 1.0),
        _solve(lambda x: beta_cdf(a, b, x), 1 - tail, 0.0, 1.0),
    )


def gamma_cdf(shape: float, x: float) -> float:
    """Return P(X <= x) for a gamma distribution of rate 1."""
    if x <= 0:
        return 0.0
    front = exp(shape * log(x) - x - lgamma(shape))
    return front * _gamma_series(shape, x) if x < shape + 1 else 1 - front * _gamma_fraction(shape, x)


def _gamma_series(shape: float, x: float) -> float:
    """Sum the series of Abramowitz and Stegun 6.5.29."""
    term = total = 1 / shape
    for n in range(1, _MOST):
        term *= x / (shape + n)
        total += term
        if term < total * _ENOUGH:
            break
    return total


def _gamma_fraction(shape: float, x: float) -> float:
    """Evaluate the continued fraction of Abramowitz and Stegun 6.5.31, by Lentz's method."""
    b = x + 1 - shape
    c, d = 1 / _TINY, 1 / b
    value = d
    for n in range(1, _MOST):
        a = -n * (n - shape)
        b += 2
        d = 1 / _away_from_zero(a * d + b)
        c = _away_from_zero(b + a / c)
        value *= c * d
        if abs(c * d - 1) < _ENOUGH:
            break
    return value


def beta_cdf(a: float, b: float, x: float) -> float:
    """Return P(X <= x) for a beta distribution."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    if x > (a + 1) / (a + b + 2):  # the fraction converges fast only below this
        return 1 - beta_cdf(b, a, 1 - x)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    return front * _beta_fraction(a, b, x) / a


def _beta_fraction(a: float, b: float, x: float) -> float:
    """Evaluate the continued fraction of Abramowitz and Stegun 26.5.8, by Lentz's method."""
    c, d = 1.0, 1 / _away_from_zero(1 - (a + b) * x / (a + 1))
    value = d
    for n in range(1, _MOST):
        even = n * (b - n) * x / ((a + 2 * n - 1) * (a + 2 * n))
        odd = -(a + n) * (a + b + n) * x / ((a + 2 * n) * (a + 2 * n + 1))
        for step in (even, odd):
            d = 1 / _away_from_zero(1 + step * d)
            c = _away_from_zero(1 + step / c)
            value *= c * d
        if abs(c * d - 1) < _ENOUGH:
            break
    return value


def _away_from_zero(x: float) -> float:
    return x if abs(x) > _TINY else _TINY


def _solve(cdf: Callable[[float], float], target: float, low: float, high: float) -> float:
    """Find where a distribution function takes a value, by halving to the last digits."""
    for _ in range(200):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        low, high = (middle, high) if cdf(middle) < target else (low, middle)
    return (low + high) / 2
