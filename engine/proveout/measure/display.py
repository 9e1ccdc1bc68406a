"""Values for people: sensible digits, and metric or US units by preference."""

from __future__ import annotations

import math

from proveout.measure.convert import convert
from proveout.measure.units import UnitError, find_unit

METRIC, US = "metric", "US"

#: What each side uses: (dimension, metric unit, US unit). Pressure is chosen by size below.
_PREFERRED = {
    "temperature": ("degC", "degF"),
    "length": ("mm", "in"),
    "speed": ("km/h", "mph"),
    "mass flow": ("g/s", "lb/min"),
    "volume flow": ("L/min", "cfm"),
    "volume": ("L", "gal"),
}


def rounded(value: float, digits: int = 4) -> str:
    """Give a number with that many significant digits, in plain figures where they stay short.

    ``12000.0`` gives ``12000``, ``0.00003`` gives ``3e-05``, an infinity gives ``OL``.
    """
    if math.isinf(value):
        return "OL" if value > 0 else "-OL"
    text = f"{value:.{digits}g}"
    if "e+" in text and abs(value) < 1e7:
        return f"{float(text):.0f}"
    return text.replace("e-0", "e-").replace("e+0", "e+")


def preferred_unit(value: float, unit: str, quantity: str, system: str, relative_to: str = "") -> str:
    """Give the symbol of the unit in which a value is shown under a preference.

    Units that the preference does not care about, such as volts, stay. Pressures in US units are shown in
    inH2O when small (below 7.5 kPa), in inHg when they are vacuums or absolute below 110 kPa, else in psi.

    Raises:
        UnitError: the unit does not suit the quantity.
    """
    own = find_unit(unit, quantity)
    if own.dimension == "pressure":
        return _pressure_unit(convert(value, own, find_unit("kPa", "pressure")), system, relative_to)
    if own.dimension == "length" and own.symbol not in ("mm", "in", "m", "ft", "cm"):
        return {"km": "mi", "mi": "mi"}.get(unit, unit) if system == US else {"mi": "km"}.get(unit, unit)
    if own.symbol in ("m", "ft"):
        return "ft" if system == US else "m"
    metric, us = _PREFERRED.get(own.dimension, (own.symbol, own.symbol))
    return us if system == US else metric


def _pressure_unit(kilopascal: float, system: str, relative_to: str) -> str:
    small = abs(kilopascal) < 7.5 and relative_to != "vacuum"
    if system != US:
        return "Pa" if small and abs(kilopascal) < 1.0 else "kPa"
    if small:
        return "inH2O"
    return "inHg" if kilopascal < 0 or (relative_to == "vacuum" and kilopascal < 110.0) else "psi"


def show(value: float, unit: str, quantity: str, system: str = METRIC, relative_to: str = "") -> str:
    """Give a value with its unit under a preference, such as ``-20 inHg`` or ``10 inH2O``.

    Absolute pressures say so. An infinite resistance is ``OL``.
    """
    if math.isinf(value):
        return rounded(value)
    target = preferred_unit(value, unit, quantity, system, relative_to)
    number = convert(value, find_unit(unit, quantity), find_unit(target, quantity))
    symbol = {"degC": "°C", "degF": "°F", "1": ""}.get(target, target)
    word = " abs" if relative_to == "vacuum" else ""
    return f"{rounded(number)} {symbol}".rstrip() + word


__all__ = ["METRIC", "US", "UnitError", "preferred_unit", "rounded", "show"]
