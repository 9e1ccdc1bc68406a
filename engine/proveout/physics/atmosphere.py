"""Air pressure with altitude, and pressures counted from the air or from full vacuum.

Source: ISO 2533 (standard atmosphere, troposphere): p = 101.325 kPa (1 - 0.0065 h / 288.15)^5.25588.
"""

from __future__ import annotations

from proveout.physics.formula import Answer, Formula, Parameter, absolute, altitude, gauge
from proveout.physics.ranges import within

SEA_LEVEL = 101.325  # kPa, ISO 2533
_LAPSE = 0.0065 / 288.15  # 1/m
_EXPONENT = 5.25588  # g M / (R L), ISO 2533

#: The thinnest air in which a car is driven: about 5000 m.
LOWEST_BAROMETER = 50.0


def isa_pressure(altitude: float) -> float:
    """Return the standard air pressure in kPa at an altitude of -500 to 6000 m (ISO 2533).

    The weather moves the true pressure by about ±3 kPa.
    """
    within("altitude", altitude, -500.0, 6000.0, "m")
    return float(SEA_LEVEL * (1.0 - _LAPSE * altitude) ** _EXPONENT)


def isa_altitude(pressure: float) -> float:
    """Return the altitude in m at which the standard air pressure is that of 47 to 108 kPa (ISO 2533)."""
    within("pressure", pressure, 47.0, 108.0, "kPa")
    return float((1.0 - (pressure / SEA_LEVEL) ** (1.0 / _EXPONENT)) / _LAPSE)


def absolute_pressure(gauge: float, barometer: float = SEA_LEVEL) -> float:
    """Return the absolute pressure in kPa of a gauge pressure (vacuum negative), both in kPa."""
    within("barometer", barometer, 47.0, 110.0, "kPa")
    return within("gauge", gauge, -barometer, 1e6, "kPa", "there is nothing below full vacuum") + barometer


def gauge_pressure(absolute: float, barometer: float = SEA_LEVEL) -> float:
    """Return the gauge pressure in kPa (vacuum negative) of an absolute pressure, both in kPa."""
    within("barometer", barometer, 47.0, 110.0, "kPa")
    return within("absolute", absolute, 0.0, 1e6, "kPa") - barometer


def manifold_pressure(vacuum: float, altitude: float = 0.0) -> float:
    """Return the absolute manifold pressure in kPa for a vacuum (kPa below the air) at an altitude in m."""
    air = isa_pressure(altitude)
    return air - within("vacuum", vacuum, 0.0, air, "kPa", "there is nothing below full vacuum")


_SOURCE = "ISO 2533"
_BAROMETER = absolute("barometer", "kPa", "local air pressure", SEA_LEVEL)

FORMULAS = (
    Formula(
        "air-pressure",
        "Standard air pressure at an altitude",
        isa_pressure,
        (altitude(),),
        (Answer("air pressure, absolute", "kPa"),),
        _SOURCE,
    ),
    Formula(
        "altitude",
        "Altitude of a standard air pressure",
        isa_altitude,
        (absolute("pressure", "kPa", "air pressure"),),
        (Answer("altitude", "m"),),
        _SOURCE,
    ),
    Formula(
        "absolute-pressure",
        "Absolute from gauge pressure",
        absolute_pressure,
        (gauge("gauge", "kPa", "gauge pressure, vacuum negative"), _BAROMETER),
        (Answer("absolute pressure", "kPa"),),
        "definition",
    ),
    Formula(
        "gauge-pressure",
        "Gauge from absolute pressure",
        gauge_pressure,
        (absolute("absolute", "kPa", "absolute pressure"), _BAROMETER),
        (Answer("gauge pressure, vacuum negative", "kPa"),),
        "definition",
    ),
    Formula(
        "manifold-pressure",
        "Absolute manifold pressure from vacuum and altitude",
        manifold_pressure,
        (Parameter("vacuum", "pressure", "kPa", "vacuum below the air, as a positive figure"), altitude(0.0)),
        (Answer("manifold pressure, absolute", "kPa"),),
        _SOURCE,
    ),
)
