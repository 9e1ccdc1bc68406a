"""The refusal of values outside the range in which a formula holds."""

from __future__ import annotations

import math


class OutsideRangeError(ValueError):
    """A formula was asked outside its range; attributes name the parameter, value, ends and unit."""

    def __init__(self, name: str, value: float, low: float, high: float, unit: str, why: str = "") -> None:
        ends = f"{low:g} to {high:g} {unit}".rstrip()
        super().__init__(
            f"{name} is {value:g} {unit}".rstrip() + f"; this holds for {ends}" + (f": {why}" if why else "")
        )
        self.name, self.value, self.low, self.high, self.unit, self.why = name, value, low, high, unit, why


def within(name: str, value: float, low: float, high: float, unit: str = "", why: str = "") -> float:
    """Return the value back when it lies in [low, high].

    Raises:
        OutsideRangeError: it does not, or it is no number.
    """
    if math.isnan(value) or not low <= value <= high:
        raise OutsideRangeError(name, value, low, high, unit, why)
    return value
