"""The local air pressure, read from text or an altitude, and used between gauge and absolute pressure."""

from __future__ import annotations

from msgspec.structs import replace

from proveout.measure.convert import convert
from proveout.measure.number import NumberError
from proveout.measure.reading import Quantity, Reading, read
from proveout.measure.typed import ABSOLUTE, GAUGE
from proveout.measure.units import UnitError, find_unit
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.physics.atmosphere import LOWEST_BAROMETER, isa_pressure
from proveout.physics.ranges import OutsideRangeError

#: Air pressure where cars go, kPa: about 4 km up to a strong high at the sea.
PLAUSIBLE = (60.0, 106.0)


def read_barometer(text: str, place: Place = NOWHERE) -> Quantity:
    """Read air pressure as it is here (``84 kPa``, ``25 inHg``) or an altitude (``1500 m``, ``5000 ft``).

    Returns:
        Absolute pressure in kPa.

    Raises:
        BadInputError: neither, or no air pressure found at the ground.
    """
    try:
        metres = read(text, "length", "m", "", place) if _names_length(text) else None
        if metres:
            return Quantity(isa_pressure(metres.middle), "kPa", ABSOLUTE)
    except OutsideRangeError as error:
        raise BadInputError(Problem(place, "not-possible", f"altitude `{text}`", str(error))) from None
    pressure = read(text, "pressure", "kPa", ABSOLUTE, place)
    if pressure.relative_to != ABSOLUTE or not LOWEST_BAROMETER <= pressure.middle <= 110.0:
        raise BadInputError(Problem(
            place, "not-possible", f"barometer `{text}`",
            f"air pressure of {LOWEST_BAROMETER:g} to 110 kPa absolute",
            "give it as it is here, not reduced to sea level, or give the altitude such as `1500 m`",
        ))  # fmt: skip
    return Quantity(pressure.middle, "kPa", ABSOLUTE)


def _names_length(text: str) -> bool:
    letters = text.strip().lstrip("+-0123456789., ")
    try:
        find_unit(letters, "length")
    except (UnitError, NumberError):
        return False
    return bool(letters)


def in_unit(barometer: Quantity, unit: str) -> float:
    """Return the air pressure in another unit of pressure."""
    return convert(barometer.value, find_unit(barometer.unit, "pressure"), find_unit(unit, "pressure"))


def referred(reading: Reading, relative_to: str, air: float) -> Reading:
    """Return a pressure reading counted from the reference asked for; ``air`` in the reading's unit."""
    if reading.relative_to == relative_to:
        return reading
    shift = air if relative_to == ABSOLUTE else -air
    return replace(
        reading, low=reading.low + shift, high=reading.high + shift, relative_to=relative_to, moved=True
    )


def needs_barometer(reading: Reading, relative_to: str) -> bool:
    """Say whether a reading is counted from another reference than the limits."""
    return bool(relative_to) and reading.relative_to != relative_to


def ask_for_barometer(reading: Reading, relative_to: str, place: Place) -> BadInputError:
    """Return the complaint that the air pressure decides and is not known."""
    names = {GAUGE: "gauge (from the air around)", ABSOLUTE: "absolute (from full vacuum)"}
    return BadInputError(Problem(
        place, "barometer-needed", f"`{reading.text}` is {names[reading.relative_to]}",
        f"a pressure that is {names[relative_to]}, or the air pressure to turn one into the other",
        "give `barometer` such as `84 kPa`, or the altitude such as `1500 m`",
    ))  # fmt: skip
