"""Lead-acid battery and charging: state of charge, load test, charging voltage.

Source: figures of the BCI handbook at 27 degC for flooded 12 V batteries, from memory. A meter good to 1 % is
±0.12 V here, which is about ±15 % state of charge: the functions give the uncertainty with the value.
"""

from __future__ import annotations

from bisect import bisect_right

from proveout.physics.formula import Answer, Formula, celsius, percent, volts
from proveout.physics.ranges import within

_REST = ((11.89, 0.0), (12.06, 25.0), (12.24, 50.0), (12.45, 75.0), (12.65, 100.0))
_LOAD = ((-18.0, 8.5), (-7.0, 8.9), (4.0, 9.3), (21.0, 9.6))

#: Charging voltage with the engine running, V; smart charging leaves it on both sides for a while.
CHARGING = (13.5, 14.8)

LOW, NORMAL, HIGH = "low", "normal", "high"


def _between(table: tuple[tuple[float, float], ...], x: float) -> tuple[float, float]:
    """Return (value, slope) of a table at x, straight between its points and beyond them."""
    at = min(max(bisect_right([point[0] for point in table], x), 1), len(table) - 1)
    (x0, y0), (x1, y1) = table[at - 1], table[at]
    slope = (y1 - y0) / (x1 - x0)
    return y0 + slope * (x - x0), slope


def state_of_charge(voltage: float, u_voltage: float = 0.0) -> tuple[float, float]:
    """Return (percent charged, standard uncertainty) of a rested flooded battery from 11 to 13 V.

    Rested: some hours off charge and load. ``u_voltage`` is the standard uncertainty of the meter in V.
    """
    within("voltage", voltage, 11.0, 13.0, "V", "a rested 12 V battery; above it still holds surface charge")
    charge, slope = _between(_REST, voltage)
    return min(100.0, max(0.0, charge)), slope * within("u_voltage", u_voltage, 0.0, 1.0, "V")


def rest_voltage(charge: float) -> float:
    """Return the rested voltage in V of a state of charge in percent."""
    within("charge", charge, 0.0, 100.0, "%")
    return _between(tuple((y, x) for x, y in _REST), charge)[0]


def load_test_minimum(temperature: float) -> float:
    """Return the least V after 15 s at half the cold-cranking amperes, at -18 to 40 degC.

    Above 21 degC the figure of 21 degC serves.
    """
    within("temperature", temperature, -18.0, 40.0, "degC")
    return _between(_LOAD, min(temperature, 21.0))[0]


def charging_state(voltage: float) -> str:
    """Say whether a charging voltage (10 to 18 V, engine running, 12 V system) is low, normal or high."""
    within("voltage", voltage, 10.0, 18.0, "V")
    return LOW if voltage < CHARGING[0] else HIGH if voltage > CHARGING[1] else NORMAL


_SOURCE = "BCI handbook figures, from memory"

FORMULAS = (
    Formula(
        "state-of-charge",
        "State of charge of a rested battery",
        state_of_charge,
        (volts("voltage", "rested voltage"), volts("u_voltage", "standard uncertainty of the meter", 0.0)),
        (Answer("state of charge", "%"), Answer("standard uncertainty", "%")),
        _SOURCE,
    ),
    Formula(
        "rest-voltage",
        "Rested voltage of a state of charge",
        rest_voltage,
        (percent("charge", "state of charge"),),
        (Answer("voltage", "V"),),
        _SOURCE,
    ),
    Formula(
        "load-test",
        "Least voltage in a battery load test",
        load_test_minimum,
        (celsius("temperature", "of the battery"),),
        (Answer("voltage", "V"),),
        _SOURCE,
    ),
    Formula(
        "charging",
        "Whether a charging voltage is usual",
        charging_state,
        (volts("voltage", "at the battery, engine running"),),
        (Answer("charging voltage"),),
        "common practice, no source",
    ),
)
