"""Sensor circuits: what a divider with a pull-up reads, sound and at fault; resistances together.

Source: Ohm's and Kirchhoff's laws.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from proveout.physics.formula import Answer, Formula, Parameter, ohms, volts
from proveout.physics.ranges import OutsideRangeError, within


@dataclass(frozen=True, slots=True)
class CircuitReadings:
    """Signal voltages of a two-wire sensor on a pull-up: sound, and with each simple fault."""

    sound: float
    open: float
    shorted_to_ground: float
    shorted_to_supply: float


def _checked(supply: float, pull_up: float) -> None:
    within("supply", supply, 0.5, 60.0, "V")
    within("pull_up", pull_up, 1.0, 1e7, "ohm")


def divider_voltage(supply: float, pull_up: float, sensor: float) -> float:
    """Return the signal in V of a sensor in ohm to ground, with a pull-up in ohm; OL (inf) is allowed."""
    _checked(supply, pull_up)
    if math.isinf(sensor) and sensor > 0:
        return supply
    return supply * within("sensor", sensor, 0.0, 1e12, "ohm") / (sensor + pull_up)


def circuit_readings(supply: float, pull_up: float, sensor: float) -> CircuitReadings:
    """Return what the signal wire reads when sound, open, shorted to ground and shorted to the supply.

    An open circuit reads like an endlessly cold thermistor, a short to ground like an endlessly hot one.
    """
    return CircuitReadings(divider_voltage(supply, pull_up, sensor), supply, 0.0, supply)


def sensor_resistance(supply: float, pull_up: float, voltage: float) -> float:
    """Return the resistance in ohm from signal to ground that a voltage means."""
    _checked(supply, pull_up)
    within("voltage", voltage, 0.0, 0.999 * supply, "V", "at the supply the circuit is open")
    return pull_up * voltage / (supply - voltage)


def added_resistance(supply: float, pull_up: float, sensor: float, voltage: float) -> float:
    """Return the resistance in ohm that a corroded pin or bad ground adds, from the signal voltage.

    Raises:
        OutsideRangeError: the signal is lower than the sensor alone gives; then nothing is added in series,
            and a leak or short to ground beside the sensor is to be sought.
    """
    total = sensor_resistance(supply, pull_up, voltage)
    alone = divider_voltage(supply, pull_up, sensor)
    if voltage < alone * (1.0 - 1e-9):
        raise OutsideRangeError(
            "voltage", voltage, alone, supply, "V", "a lower signal is no added resistance"
        )
    return max(0.0, total - sensor)


def series_resistance(resistances: Sequence[float]) -> float:
    """Return the resistance in ohm of resistances in series."""
    return math.fsum(within("resistance", r, 0.0, 1e12, "ohm") for r in resistances)


def parallel_resistance(resistances: Sequence[float]) -> float:
    """Return the resistance in ohm of resistances in parallel; at least one, all above zero, OL allowed."""
    if not resistances:
        raise OutsideRangeError("resistances", 0.0, 1.0, 100.0, "pieces")
    if any(r <= 0.0 for r in resistances):
        raise OutsideRangeError("resistance", min(resistances), 1e-9, 1e12, "ohm", "zero shorts all others")
    total = math.fsum(1.0 / r for r in resistances)
    return 1.0 / total if total else math.inf


def missing_parallel(total: float, present: float) -> float:
    """Return the resistance in ohm that lies in parallel with ``present`` when the whole reads ``total``.

    Two 120 ohm terminators read 60; 120 read means that one is missing (OL).
    """
    within("present", present, 1e-6, 1e12, "ohm")
    within("total", total, 1e-6, present, "ohm", "a parallel path only lowers the reading")
    conductance = 1.0 / total - 1.0 / present
    return 1.0 / conductance if conductance > 1e-15 else math.inf


def contact_resistance(drop: float, current: float) -> float:
    """Return the resistance in ohm that a loaded voltage drop in V at a current in A means."""
    within("current", current, 1e-3, 2000.0, "A", "a drop is measured with the circuit loaded")
    return within("drop", drop, 0.0, 1000.0, "V") / current


def _all_readings(supply: float, pull_up: float, sensor: float) -> tuple[float, ...]:
    seen = circuit_readings(supply, pull_up, sensor)
    return seen.sound, seen.open, seen.shorted_to_ground, seen.shorted_to_supply


_SOURCE = "Ohm's and Kirchhoff's laws"
_DIVIDER = (volts("supply", "supply of the pull-up"), ohms("pull_up", "pull-up inside the module"))
_SENSOR = ohms("sensor", "resistance of the sensor itself")
_MANY = Parameter("resistances", "resistance", "ohm", "the resistances", many=True)
_OHMS = (Answer("resistance", "ohm"),)

FORMULAS = (
    Formula(
        "divider-voltage",
        "Signal of a sensor on a pull-up",
        divider_voltage,
        (*_DIVIDER, _SENSOR),
        (Answer("signal", "V"),),
        _SOURCE,
    ),
    Formula(
        "circuit-faults",
        "What a pull-up circuit reads, sound and at fault",
        _all_readings,
        (*_DIVIDER, _SENSOR),
        tuple(Answer(name, "V") for name in ("sound", "open", "shorted to ground", "shorted to supply")),
        _SOURCE,
    ),
    Formula(
        "sensor-resistance",
        "Resistance to ground that a signal means",
        sensor_resistance,
        (*_DIVIDER, volts("voltage", "signal")),
        _OHMS,
        _SOURCE,
    ),
    Formula(
        "added-resistance",
        "Resistance that a corroded pin or ground adds",
        added_resistance,
        (*_DIVIDER, _SENSOR, volts("voltage", "signal")),
        (Answer("added resistance", "ohm"),),
        _SOURCE,
    ),
    Formula("series-resistance", "Resistances in series", series_resistance, (_MANY,), _OHMS, _SOURCE),
    Formula("parallel-resistance", "Resistances in parallel", parallel_resistance, (_MANY,), _OHMS, _SOURCE),
    Formula(
        "missing-parallel",
        "What lies in parallel with a known resistance",
        missing_parallel,
        (ohms("total", "reading of the whole"), ohms("present", "resistance known to be there")),
        (Answer("the other path", "ohm"),),
        _SOURCE,
    ),
    Formula(
        "contact-resistance",
        "Resistance that a loaded drop means",
        contact_resistance,
        (volts("drop", "drop across it"), Parameter("current", "current", "A", "current that flows")),
        _OHMS,
        _SOURCE,
    ),
)
