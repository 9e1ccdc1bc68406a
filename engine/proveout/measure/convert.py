"""Conversion between units: decimal prefixes exactly, all else by pint, which is imported only then."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from proveout.measure.units import Unit


@lru_cache(maxsize=1)
def _registry() -> Any:
    """Make the unit registry on first use: importing pint takes longer than the rest of a short command."""
    import pint

    return pint.UnitRegistry()


@lru_cache(maxsize=512)
def _affine(base: str, target: str) -> tuple[float, float]:
    """Return (gain, offset) such that ``value * gain + offset`` turns base into target."""
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
