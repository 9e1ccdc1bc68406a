"""Values for people: sensible digits, and metric or US units by preference.

This is the one place that decides in which unit a figure is shown. Only texts are made with it: what is
computed, recorded or given as JSON stays in the units of the book.
"""

from __future__ import annotations

import math

from msgspec import Struct

from proveout.measure.convert import convert, gain
from proveout.measure.units import Unit, find_unit, quantity_of
from proveout.model.preference import AS_WRITTEN, METRIC, US
from proveout.model.specs import ReadingSpec

_SYMBOLS = {"degC": "°C", "degF": "°F", "1": ""}

#: What each side uses: (dimension, metric unit, US unit). Pressure is chosen by size below.
_PREFERRED = {
    "temperature": ("degC", "degF"),
    "length": ("mm", "in"),
    "speed": ("km/h", "mph"),
    "mass flow": ("g/s", "lb/min"),
    "volume flow": ("L/min", "cfm"),
    "volume": ("L", "gal"),
}


def unit_sign(unit: str) -> str:
    """Return how a unit is written for people: ``°C`` for ``degC``, nothing for a plain number."""
    return _SYMBOLS.get(unit, unit)


def rounded(value: float, digits: int = 4) -> str:
    """Return a number with that many significant digits, in plain figures where they stay short.

    ``12000.0`` gives ``12000``, ``0.00003`` gives ``3e-05``, an infinity gives ``OL``.
    """
    if math.isinf(value):
        return "OL" if value > 0 else "-OL"
    text = f"{value:.{digits}g}"
    if "e+" in text and abs(value) < 1e7:
        return f"{float(text):.0f}"
    return text.replace("e-0", "e-").replace("e+0", "e+")


def preferred_unit(value: float, unit: str, quantity: str, system: str, relative_to: str = "") -> str:
    """Return the symbol of the unit in which a value is shown under a preference.

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
    """Return a value with its unit under a preference, such as ``-20 inHg`` or ``10 inH2O``.

    Absolute pressures say so. An infinite resistance is ``OL``.
    """
    if math.isinf(value):
        return rounded(value)
    scale = _scale(unit, quantity, preferred_unit(value, unit, quantity, system, relative_to))
    word = " abs" if relative_to == "vacuum" else ""
    return f"{rounded(scale.turned(value))} {scale.symbol}".rstrip() + word


class Scale(Struct, frozen=True):
    """How the figures of one reading and its limits are shown.

    Attributes:
        own: the unit that they are in.
        unit: the unit that they are shown in.
        symbol: how that unit is written.
    """

    own: Unit
    unit: Unit
    symbol: str

    def number(self, value: float) -> str:
        """Return a value in the unit shown; without a change of unit in up to six figures, else in four."""
        if self.own == self.unit:
            return f"{value:g}"
        return rounded(self.turned(value))

    def turned(self, value: float) -> float:
        """Return a value in the unit shown as a number."""
        return convert(value, self.own, self.unit)

    def difference(self, value: float, digits: int = 2) -> str:
        """Return a difference or an error bound in the unit shown."""
        return rounded(value * gain(self.own, self.unit), digits)


def _scale(unit: str, quantity: str, target: str) -> Scale:
    return Scale(find_unit(unit, quantity), find_unit(target, quantity), _SYMBOLS.get(target, target))


def scale_of(spec: ReadingSpec, system: str = AS_WRITTEN) -> Scale:
    """Return the one unit in which a reading and all its limits are shown under a preference.

    It is chosen for the limit farthest from zero, so that no two limits of a reading differ in unit.
    """
    own = find_unit(spec.unit, spec.quantity)
    if system == AS_WRITTEN:
        return Scale(own, own, _SYMBOLS.get(spec.unit, spec.unit))
    edges = [edge for band in spec.bands for edge in (band.low, band.high) if edge is not None]
    edges += spec.series.start or () if spec.series else ()
    size = max((abs(edge) for edge in edges), default=1.0)
    signed = -size if min(edges, default=0.0) < 0.0 else size
    return _scale(
        spec.unit, spec.quantity, preferred_unit(signed, spec.unit, spec.quantity, system, spec.relative_to)
    )


def scale_for(unit: str, size: float, system: str = AS_WRITTEN) -> Scale:
    """Return the scale for figures of a unit known by its symbol alone, chosen for one of that size.

    Units that the preference does not know, such as ``V per kPa``, stay.
    """
    quantity = quantity_of(unit) if system != AS_WRITTEN and unit != "K" else ""
    if quantity not in _CHOSEN or not math.isfinite(size):
        own = Unit(unit, quantity, unit)
        return Scale(own, own, _SYMBOLS.get(unit, unit))
    return _scale(unit, quantity, preferred_unit(size, unit, quantity, system))


def show_figure(value: float, unit: str, uncertainty: float = 0.0, system: str = AS_WRITTEN) -> str:
    """Return a computed figure with its standard uncertainty, such as ``0.522 ± 0.028 mm``.

    The uncertainty is given in two figures, and the value to the same place (JCGM 100:2008, 7.2.6).
    """
    scale = scale_for(unit, value, system)
    turned, u = scale.turned(value), uncertainty * gain(scale.own, scale.unit)
    if not (_SMALLEST < u < _LARGEST and abs(turned) < _LARGEST):
        return f"{rounded(turned)} {scale.symbol}".rstrip()
    places = max(0, 1 - math.floor(math.log10(u)))
    return f"{turned:.{places}f} ± {float(f'{u:.2g}'):.{places}f} {scale.symbol}".rstrip()


#: Between these, uncertainties are written in plain figures; smaller ones are none that matter.
_SMALLEST, _LARGEST = 1e-9, 1e9


#: Dimensions of computed figures that a preference may turn. (A kelvin among them is no temperature.)
_CHOSEN = frozenset({"pressure", "length", "speed", "mass flow", "volume flow", "volume", "temperature"})
