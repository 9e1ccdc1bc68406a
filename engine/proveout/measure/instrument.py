"""How far an instrument can be off: meter specifications, gauge classes and a documented basic meter.

A bound ±a that a maker or a class states is taken as rectangular: standard uncertainty u = a/sqrt(3)
(JCGM 100:2008, 4.3.7).
"""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from proveout.measure.convert import gain
from proveout.measure.units import find_unit


class Instrument(Struct, frozen=True):
    """An error bound ±(percent of reading + floor), in the unit of the reading.

    Attributes:
        name: what it is called in notes.
        percent: part of the reading, in percent.
        floor: the part that does not depend on the reading: counts, divisions, percent of full scale.
        count: value of one count or the smallest difference it shows.
        standard: a standard uncertainty stated as such, instead of a bound.
        counts: counts whose value is still unknown; see ``resolved``.
    """

    name: str
    percent: float = 0.0
    floor: float = 0.0
    count: float = 0.0
    standard: float | None = None
    counts: float = 0.0

    def bound(self, value: float) -> float:
        """Return the largest error a at that reading."""
        if self.standard is not None:
            return self.standard * math.sqrt(3.0)
        return abs(value) * self.percent / 100.0 + self.floor

    def uncertainty(self, value: float) -> float:
        """Return the standard uncertainty u = a/sqrt(3) at that reading; 0 for an infinite one."""
        return 0.0 if math.isinf(value) else self.bound(value) / math.sqrt(3.0)

    def resolved(self, last_place: float) -> Instrument:
        """Return the value of a count, where the specification left it open, from the last digit read."""
        if not self.counts:
            return self
        return replace(self, floor=self.floor + self.counts * last_place, count=last_place, counts=0.0)


#: Basic meters: canonical unit, percent of reading, counts and lowest range, or percent, floor and count.
#: Figures are those of inexpensive 2000-count multimeters and hand gauges: common practice, no source, except
#: temperature (thermocouple of class 2 in IEC 60584-1: ±2.5 degC, from memory) and pressure (class 2.5 of
#: EN 837-1 with its preferred spans, from memory).
_DIGITAL = {
    "voltage": ("V", 0.5, 2.0, 0.2),
    "resistance": ("ohm", 0.8, 3.0, 200.0),
    "current": ("A", 1.5, 3.0, 0.02),
    "frequency": ("Hz", 0.5, 2.0, 20.0),
    "rotation": ("rpm", 0.5, 2.0, 2000.0),
}
_FIXED = {
    "temperature": ("degC", 0.0, 2.5, 0.1),
    "fraction": ("%", 0.0, 1.0, 0.1),
    "speed": ("km/h", 2.0, 1.0, 1.0),
    "mass flow": ("g/s", 2.0, 0.02, 0.01),
    "volume flow": ("L/min", 5.0, 0.05, 0.01),
    "count": ("1", 0.0, 0.0, 0.0),
}
#: Steps of the vehicle's own data, from its scalings (SAE J1979); the figure shown is good to one step.
_DATA = {
    "voltage": ("V", 0.005),
    "pressure": ("kPa", 1.0),
    "temperature": ("degC", 1.0),
    "fraction": ("%", 0.8),
    "speed": ("km/h", 1.0),
    "rotation": ("rpm", 1.0),
    "mass flow": ("g/s", 0.01),
}
_GAUGE_CLASS = 2.5

#: Ranges change a hair above their ends, so that the last digits of a unit conversion never change a range.
_JUST_BELOW = 1.0 - 1e-9
_GAUGE_STEPS = (1.0, 1.6, 2.5, 4.0, 6.0, 10.0)


def basic_meter(quantity: str, unit: str, size: float) -> Instrument:
    """Return the meter that is assumed where none is stated.

    Args:
        quantity: of the reading, such as ``voltage``.
        unit: of the reading.
        size: the largest of the reading and its limits, in that unit: a range that covers it is assumed.
    """
    own = find_unit(unit, quantity)
    name = f"basic {quantity} meter"
    if own.dimension == "pressure":
        span = gauge_span(abs(size))
        return Instrument(f"basic gauge of {span:g} {unit}", 0.0, span * _GAUGE_CLASS / 100.0, span / 100.0)
    if own.dimension in _DIGITAL:
        symbol, percent, counts, lowest = _DIGITAL[own.dimension]
        factor = gain(find_unit(symbol, own.dimension), own)
        count = _range_of_2000(abs(size) / factor, lowest) / 2000.0 * factor
        return Instrument(name, percent, counts * count, count)
    if own.dimension == "time":
        return _watch(own.symbol, size, name)
    if own.dimension == "length":
        return _rule(own.symbol, size, name)
    symbol, percent, floor, count = _FIXED.get(own.dimension, (own.symbol, 1.0, 0.0, 0.0))
    factor = gain(find_unit(symbol, own.dimension), own)
    return Instrument(name, percent, floor * factor, count * factor)


def vehicle_data(quantity: str, unit: str, size: float) -> Instrument:
    """Return the instrument for a figure that the vehicle itself reports: good to one step of its scaling.

    Whether the sensor behind it is right is what the inspection asks. Other quantities: the basic meter.
    """
    own = find_unit(unit, quantity)
    if own.dimension not in _DATA:
        return basic_meter(quantity, unit, size)
    symbol, step = _DATA[own.dimension]
    step *= gain(find_unit(symbol, own.dimension), own)
    return Instrument("the vehicle's own data", 0.0, step, step)


def _range_of_2000(size: float, lowest: float) -> float:
    """Return the range of a 2000-count meter that holds a size: the lowest, or that times 10, 100 ..."""
    span = lowest
    while span < size * _JUST_BELOW and span < 1e12:
        span *= 10.0
    return span


def gauge_span(size: float) -> float:
    """Return the smallest span of the preferred series 1, 1.6, 2.5, 4, 6 by decades that holds a size."""
    decade = 10.0 ** math.floor(math.log10(max(size, 1e-6)))
    return next(decade * step for step in _GAUGE_STEPS if decade * step >= size * _JUST_BELOW)


def _watch(unit: str, size: float, name: str) -> Instrument:
    """A hand-held watch to 0.3 s (reaction time); below one second a meter that times to 1 % + 0.1 ms."""
    second = gain(find_unit("s", "time"), find_unit(unit, "time"))
    if abs(size) < second * _JUST_BELOW:
        return Instrument(name, 1.0, 0.0001 * second, 0.0001 * second)
    return Instrument("hand-held watch", 0.0, 0.3 * second, 0.1 * second)


def _rule(unit: str, size: float, name: str) -> Instrument:
    """A rule read to 0.5 mm; below 25 mm a calliper or feeler gauge to 0.05 mm."""
    millimetre = gain(find_unit("mm", "length"), find_unit(unit, "length"))
    small = abs(size) < 25.0 * millimetre * _JUST_BELOW
    floor = (0.05 if small else 0.5) * millimetre
    return Instrument("calliper or feeler gauge" if small else name, 0.0, floor, floor)
