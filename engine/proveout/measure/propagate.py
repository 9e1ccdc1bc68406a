"""First-order propagation of uncertainty (JCGM 100:2008, clause 5): sum of squares of slope times u."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence


def propagate(
    function: Callable[..., float], values: Sequence[float], uncertainties: Sequence[float]
) -> tuple[float, float]:
    """Return (value, standard uncertainty) of a function of independent inputs.

    Slopes are taken by central differences over a third of each standard uncertainty, or on one side where
    the function refuses the other.

    Raises:
        ValueError: the function refuses the values themselves.
    """
    value = function(*values)
    terms = [_change(function, values, i, u, value) for i, u in enumerate(uncertainties) if u > 0.0]
    return value, math.sqrt(math.fsum(term * term for term in terms))


def _change(function: Callable[..., float], values: Sequence[float], i: int, u: float, value: float) -> float:
    """Return the change of the function for one standard uncertainty of its i-th input."""
    step = u / 3.0
    ends = []
    for sign in (-1.0, 1.0):
        moved = [x + sign * step if j == i else x for j, x in enumerate(values)]
        try:
            ends.append((sign, function(*moved)))
        except ValueError:
            ends.append((0.0, value))
    (low, at_low), (high, at_high) = ends
    return (at_high - at_low) / (high - low) * 3.0 if high != low else 0.0


def difference(first: float, second: float, u_first: float, u_second: float) -> tuple[float, float]:
    """Return first minus second and its standard uncertainty, taken as independent.

    Readings of one meter in one range share part of their error, so this is on the safe side.
    """
    return first - second, math.hypot(u_first, u_second)
