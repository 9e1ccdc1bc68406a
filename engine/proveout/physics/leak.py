"""Small leaks in a closed vapour space: flow through an orifice, decay of pressure, size from the decay.

Sources: Bernoulli with a discharge coefficient, flow = Cd A sqrt(2 dp / rho), incompressible, good to some
2 % below 5 kPa; a rigid isothermal volume then loses pressure as (V/P) dp/dt = -Cd A sqrt(2 dp / rho), so
that the square root of the pressure falls in proportion to time. Fuel that evaporates or a tank that gives
way breaks the second assumption: compare with a known orifice where it matters (``leak_by_comparison``).
"""

from __future__ import annotations

import math

from proveout.physics.atmosphere import SEA_LEVEL
from proveout.physics.formula import Answer, Formula, absolute, gauge, litres, millimetres, number, percent
from proveout.physics.formula import seconds as time_of
from proveout.physics.ranges import OutsideRangeError, within

AIR_DENSITY = 1.2041  # kg/m3, dry air at 20 degC and 101.325 kPa

#: Discharge coefficient of a sharp-edged hole, and how far real ones stray (common practice, no source).
DISCHARGE, U_DISCHARGE = 0.6, 0.06

_HIGHEST = 5000.0  # Pa; above it the flow is no longer nearly incompressible


def _area(diameter: float) -> float:
    """Return the area in m2 of a hole in mm."""
    return math.pi / 4.0 * (within("diameter", diameter, 0.01, 20.0, "mm") / 1000.0) ** 2


def _pressure(name: str, pressure: float, lowest: float = 1.0) -> float:
    return within(name, abs(pressure), lowest, _HIGHEST, "Pa", "vacuum or pressure, nearly incompressible")


def orifice_flow(
    diameter: float, pressure: float, discharge: float = DISCHARGE, density: float = AIR_DENSITY
) -> float:
    """Return the flow in L/min through a hole of 0.01 to 20 mm at a pressure difference of 1 to 5000 Pa."""
    within("discharge", discharge, 0.3, 1.0)
    within("density", density, 0.5, 5.0, "kg/m3")
    velocity = math.sqrt(2.0 * _pressure("pressure", pressure) / density)
    return discharge * _area(diameter) * velocity * 60000.0


def _root_rate(volume: float, discharge: float, barometer: float) -> float:
    """Return -d sqrt(p)/dt in sqrt(Pa)/s for each m2 of hole."""
    within("volume", volume, 0.1, 500.0, "L")
    within("discharge", discharge, 0.3, 1.0)
    within("barometer", barometer, 47.0, 110.0, "kPa")
    return discharge * barometer * 1000.0 / (volume / 1000.0) / math.sqrt(2.0 * AIR_DENSITY)


def decay_time(
    volume: float,
    diameter: float,
    start: float,
    end: float = 0.0,
    discharge: float = DISCHARGE,
    barometer: float = SEA_LEVEL,
) -> float:
    """Return seconds in which a vapour space in L with a hole in mm goes from start to end (Pa, gauge)."""
    fall = math.sqrt(_pressure("start", start)) - math.sqrt(_pressure("end", end, 0.0))
    if fall < 0.0 or start * end < 0.0:
        raise OutsideRangeError("end", end, 0.0, start, "Pa", "a leak brings the pressure nearer to zero")
    return fall / (_root_rate(volume, discharge, barometer) * _area(diameter))


def leak_diameter(
    volume: float,
    start: float,
    end: float,
    seconds: float,
    discharge: float = DISCHARGE,
    barometer: float = SEA_LEVEL,
    u_volume: float = 0.0,
) -> tuple[float, float]:
    """Return the diameter in mm of the hole that explains a decay, and its standard uncertainty.

    Args:
        volume: vapour space in L.
        start: pressure in Pa, gauge, at the beginning.
        end: the same at the end; of the same sign.
        seconds: time between them.
        discharge: of the hole; taken as uncertain by 10 %.
        barometer: local air pressure in kPa.
        u_volume: standard uncertainty of the volume in L.
    """
    within("seconds", seconds, 0.5, 86400.0, "s")
    fall = math.sqrt(_pressure("start", start)) - math.sqrt(_pressure("end", end, 0.0))
    if fall <= 0.0 or start * end < 0.0:
        raise OutsideRangeError("end", end, 0.0, start, "Pa", "without a decay there is no leak to size")
    area = fall / (_root_rate(volume, discharge, barometer) * seconds)
    diameter = math.sqrt(4.0 * area / math.pi) * 1000.0
    return diameter, diameter / 2.0 * math.hypot(u_volume / volume, U_DISCHARGE / DISCHARGE)


def vapour_volume(
    diameter: float,
    start: float,
    end: float,
    seconds: float,
    discharge: float = DISCHARGE,
    barometer: float = SEA_LEVEL,
) -> tuple[float, float]:
    """Return the vapour space in L that a decay through a known hole in mm shows, and its uncertainty.

    The hole must be far larger than any leak, or the leak be closed; the uncertainty is that of the discharge
    coefficient, 10 %.
    """
    within("seconds", seconds, 0.5, 86400.0, "s")
    one_litre = decay_time(1.0, diameter, start, end, discharge, barometer)
    volume = seconds / one_litre if one_litre > 0.0 else math.inf
    within("volume", volume, 0.1, 500.0, "L", "the decay is too slow or too fast for that hole")
    return volume, volume * U_DISCHARGE / DISCHARGE


def leak_by_comparison(reference: float, reference_seconds: float, seconds: float) -> float:
    """Return diameter in mm of a leak from the times of the same decay with a known hole and with the leak.

    Volume and discharge coefficient cancel where both holes are sharp: area goes with one over time.
    """
    within("reference", reference, 0.05, 20.0, "mm")
    within("reference_seconds", reference_seconds, 0.5, 86400.0, "s")
    within("seconds", seconds, 0.5, 86400.0, "s")
    return reference * math.sqrt(reference_seconds / seconds)


def vapour_space(capacity: float, fuel_level: float, lines: float = 2.0) -> float:
    """Return the vapour space in L of a tank of a capacity in L at a fuel level in percent.

    ``lines``: canister, hoses and filler neck in L (from memory: 2 to 5).
    """
    within("capacity", capacity, 5.0, 400.0, "L")
    within("fuel_level", fuel_level, 0.0, 100.0, "%")
    return capacity * (1.0 - fuel_level / 100.0) + within("lines", lines, 0.0, 20.0, "L")


_SOURCE = "Bernoulli with a discharge coefficient; rigid isothermal volume"
_HOLE = millimetres("diameter", "diameter of the hole")
_SPACE = litres("volume", "vapour space")
_START = gauge("start", "Pa", "pressure or vacuum at the start")
_END = gauge("end", "Pa", "pressure or vacuum at the end")
_DISCHARGE = number("discharge", "", "discharge coefficient of the hole", DISCHARGE)
_BAROMETER = absolute("barometer", "kPa", "local air pressure", SEA_LEVEL)
_SECONDS = time_of("seconds", "time of the decay")

FORMULAS = (
    Formula(
        "orifice-flow",
        "Air through a small hole",
        orifice_flow,
        (
            _HOLE,
            gauge("pressure", "Pa", "pressure or vacuum across it"),
            _DISCHARGE,
            number("density", "kg/m3", "of the air", AIR_DENSITY),
        ),
        (Answer("flow", "L/min"),),
        _SOURCE,
    ),
    Formula(
        "decay-time",
        "Time in which a leak brings the pressure down",
        decay_time,
        (
            _SPACE,
            _HOLE,
            _START,
            gauge("end", "Pa", "pressure or vacuum at the end", 0.0),
            _DISCHARGE,
            _BAROMETER,
        ),
        (Answer("time", "s"),),
        _SOURCE,
    ),
    Formula(
        "leak-size",
        "Size of a leak from a pressure decay",
        leak_diameter,
        (
            _SPACE,
            _START,
            _END,
            _SECONDS,
            _DISCHARGE,
            _BAROMETER,
            litres("u_volume", "standard uncertainty of the vapour space", 0.0),
        ),
        (Answer("diameter", "mm"), Answer("standard uncertainty", "mm")),
        _SOURCE,
    ),
    Formula(
        "leak-by-comparison",
        "Size of a leak against a known hole",
        leak_by_comparison,
        (
            millimetres("reference", "diameter of the known hole"),
            time_of("reference_seconds", "time of the decay with the known hole"),
            time_of("seconds", "time of the same decay with the leak"),
        ),
        (Answer("diameter", "mm"),),
        _SOURCE,
    ),
    Formula(
        "vapour-volume",
        "Vapour space from the decay through a known hole",
        vapour_volume,
        (_HOLE, _START, _END, _SECONDS, _DISCHARGE, _BAROMETER),
        (Answer("vapour space", "L"), Answer("standard uncertainty", "L")),
        _SOURCE,
    ),
    Formula(
        "vapour-space",
        "Vapour space of a tank at a fuel level",
        vapour_space,
        (
            litres("capacity", "of the tank"),
            percent("fuel_level", "fuel level"),
            litres("lines", "canister, hoses and neck", 2.0),
        ),
        (Answer("vapour space", "L"),),
        "definition; lines from memory",
    ),
)
