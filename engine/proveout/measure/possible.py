"""Values that no meter or physics can give, refused before they become evidence."""

from __future__ import annotations

import math

from proveout.measure.convert import convert
from proveout.measure.display import rounded
from proveout.measure.instrument import Instrument
from proveout.measure.reading import Reading
from proveout.measure.typed import ABSOLUTE
from proveout.measure.units import find_unit
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.model.specs import ReadingSpec

#: Full vacuum below a standard atmosphere (ISO 2533), kPa.
_FULL_VACUUM = -101.325

_ABSOLUTE_ZERO = -273.15  # degC

#: How far (relative) a reading may lie outside what is possible: meters are not exact.
_SLACK = 0.005

#: Quantities that are never negative, and how to say so.
_NEVER_NEGATIVE = ("resistance", "length", "time", "frequency", "count", "speed", "duty")


def physical_floor(spec: ReadingSpec, relative_to: str, barometer: float | None) -> tuple[float, str]:
    """Return the lowest value that physics allows, in the spec's unit, with its name (-inf: none).

    Args:
        spec: what is read.
        relative_to: what a pressure is counted from.
        barometer: local air pressure in the spec's unit, where known; else a standard atmosphere counts.
    """
    if spec.quantity in _NEVER_NEGATIVE:
        return 0.0, f"a {spec.quantity} is never negative"
    if spec.quantity == "temperature":
        floor = convert(_ABSOLUTE_ZERO, find_unit("degC", "temperature"), find_unit(spec.unit, "temperature"))
        return floor, "absolute zero"
    if spec.quantity != "pressure":
        return -math.inf, ""
    if relative_to == ABSOLUTE:
        return 0.0, "an absolute pressure is never negative"
    if barometer is not None:
        return -barometer, "full vacuum"
    return convert(
        _FULL_VACUUM, find_unit("kPa", "pressure"), find_unit(spec.unit, "pressure")
    ), "full vacuum"


def check_physics(
    reading: Reading,
    spec: ReadingSpec,
    instrument: Instrument,
    barometer: float | None = None,
    place: Place = NOWHERE,
) -> None:
    """Refuse a reading that physics forbids.

    Raises:
        BadInputError: it lies below absolute zero, full vacuum or zero by more than the meter's error.
    """
    floor, why = physical_floor(spec, reading.relative_to, barometer)
    worst = reading.high if reading.one_sided else reading.low
    if worst < floor - _slack(floor, instrument):
        _refuse(place, reading, f"at least {floor:.6g} {spec.unit} ({why})")


def check_possible(
    reading: Reading,
    low_high: tuple[float | None, float | None],
    instrument: Instrument,
    place: Place = NOWHERE,
) -> None:
    """Refuse a reading outside what the book says is possible; an open circuit is always possible.

    Raises:
        BadInputError: it lies outside by more than the meter's error.
    """
    low, high = low_high
    first = reading.high if reading.one_sided else reading.low
    last = reading.low if reading.one_sided else reading.high
    too_low = low is not None and first < low - _slack(low, instrument)
    too_high = high is not None and last > high + _slack(high, instrument) and not math.isinf(last)
    if too_low or too_high:
        ends = " to ".join("any" if end is None else f"{end:g}" for end in low_high)
        _refuse(place, reading, f"{ends} {reading.unit}")


def _slack(bound: float, instrument: Instrument) -> float:
    """Return how far outside a bound a meter may still show: at zero two counts, else half a percent."""
    if bound == 0.0 or math.isinf(bound):
        return 2.0 * instrument.count
    return min(instrument.bound(bound), _SLACK * abs(bound))


def _refuse(place: Place, reading: Reading, expected: str) -> None:
    converted = "" if reading.typed_unit == reading.unit else f" ({rounded(reading.middle)} {reading.unit})"
    raise BadInputError(Problem(
        place, "not-possible", f"`{reading.text}`{converted}", expected,
        "check the unit, the sign and what a pressure is counted from; then read the meter again",
    ))  # fmt: skip
