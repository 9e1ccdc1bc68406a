"""Conversion between units: decimal prefixes exactly, all else by pint, which is imported only where needed.

What a book's prose is said in besides, and what people type most, is known beforehand: pint takes 0.8 s to
load, a fifth of making a book.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from proveout.measure.units import Unit

#: Gain and offset from one unit to another, to the last digit as pint has them, so that a reading comes out
#: alike with and without it; ``tests/unit/test_measure_light.py`` holds them against it.
KNOWN: Mapping[tuple[str, str], tuple[float, float]] = {
    ("pascal", "bar"): (1e-05, 0.0),
    ("bar", "pascal"): (100000.0, 0.0),
    ("pascal", "psi"): (0.0001450377377302092, 0.0),
    ("psi", "pascal"): (6894.7572931683635, 0.0),
    ("pascal", "inHg"): (0.00029529983301010095, 0.0),
    ("inHg", "pascal"): (3386.3886403409997, 0.0),
    ("pascal", "inH2O"): (0.004014630759755623, 0.0),
    ("inH2O", "pascal"): (249.08890999999997, 0.0),
    ("bar", "psi"): (14.503773773020923, 0.0),
    ("bar", "inHg"): (29.52998330101009, 0.0),
    ("bar", "inH2O"): (401.46307597556233, 0.0),
    ("degC", "degF"): (1.7999999999999998, 31.999999999999936),
    ("degF", "degC"): (0.5555555555555556, -17.777777777777743),
    ("meter", "inch"): (39.37007874015748, 0.0),
    ("inch", "meter"): (0.0254, 0.0),
    ("meter", "foot"): (3.2808398950131235, 0.0),
    ("foot", "meter"): (0.30479999999999996, 0.0),
    ("meter", "mile"): (0.0006213711922373339, 0.0),
    ("mile", "meter"): (1609.344, 0.0),
    ("kilometer/hour", "mile/hour"): (0.621371192237334, 0.0),
    ("mile/hour", "kilometer/hour"): (1.609344, 0.0),
    ("liter", "gallon"): (0.26417205235814856, 0.0),
    ("gallon", "liter"): (3.785411783999999, 0.0),
    ("gram/second", "pound/minute"): (0.13227735731092655, 0.0),
    ("pound/minute", "gram/second"): (7.559872833333334, 0.0),
    ("liter/minute", "foot**3/minute"): (0.035314666721488606, 0.0),
    ("foot**3/minute", "liter/minute"): (28.31684659199999, 0.0),
    ("second", "minute"): (0.016666666666666666, 0.0),
    ("minute", "second"): (60.0, 0.0),
    ("second", "hour"): (0.0002777777777777778, 0.0),
    ("hour", "second"): (3600.0, 0.0),
    ("dimensionless", "percent"): (100.0, 0.0),
    ("percent", "dimensionless"): (0.01, 0.0),
}


@lru_cache(maxsize=1)
def _registry() -> Any:
    """Make the unit registry on first use: importing pint takes longer than the rest of a short command."""
    import pint

    return pint.UnitRegistry()


def _affine(base: str, target: str) -> tuple[float, float]:
    """Return (gain, offset) such that ``value * gain + offset`` turns base into target."""
    return KNOWN.get((base, target)) or by_pint(base, target)


@lru_cache(maxsize=512)
def by_pint(base: str, target: str) -> tuple[float, float]:
    """Return (gain, offset) from one unit to another as pint has them."""
    registry = _registry()
    at_zero = float(registry.Quantity(0.0, base).to(target).magnitude)
    if base not in ("degC", "degF", "kelvin"):
        return float(registry.Quantity(1.0, base).to(target).magnitude), 0.0
    return float(registry.Quantity(1.0, f"delta_{base}" if base != "kelvin" else base).to(
        f"delta_{target}" if target != "kelvin" else target).magnitude), at_zero  # fmt: skip


def convert(value: float, unit: Unit, target: Unit) -> float:
    """Turn a value of one unit into another unit of the same dimension.

    Units that differ only in a decimal prefix are shifted by a power of ten, exactly as far as floats allow.

    Raises:
        ValueError: the units measure different things.
    """
    if unit.base == target.base:
        return _shift(value, unit.power - target.power)
    if unit.dimension != target.dimension:
        raise ValueError(f"{unit.symbol} and {target.symbol} measure different things")
    gain, offset = _affine(unit.base, target.base)
    return _shift(_shift(value, unit.power) * gain + offset, -target.power)


def gain(unit: Unit, target: Unit) -> float:
    """Return the factor for a difference (not a temperature itself) of one unit in another."""
    if unit.base == target.base:
        return _shift(1.0, unit.power - target.power)
    if unit.dimension != target.dimension:
        raise ValueError(f"{unit.symbol} and {target.symbol} measure different things")
    return _shift(_affine(unit.base, target.base)[0], unit.power - target.power)


def _shift(value: float, power: int) -> float:
    """Multiply by a power of ten; dividing for negative ones keeps 2300 mV at 2.3 V exactly."""
    return value * 10.0**power if power >= 0 else value / 10.0**-power
