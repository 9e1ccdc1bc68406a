"""The zirconia oxygen sensor by Nernst: E = R T / (4 F) ln(p_air / p_exhaust)."""

from __future__ import annotations

import math

from proveout.physics.formula import Answer, Formula, celsius, number, volts
from proveout.physics.ranges import within

_GAS = 8.314462618  # J/(mol K), SI 2019
_FARADAY = 96485.33212  # C/mol, SI 2019
AIR_OXYGEN = 0.2095


def _slope(temperature: float) -> float:
    """Return R T / 4F in V; the sensor conducts from about 300 degC."""
    return _GAS * (within("temperature", temperature, 300.0, 1000.0, "degC") + 273.15) / (4.0 * _FARADAY)


def nernst_voltage(temperature: float, oxygen: float) -> float:
    """Return sensor voltage in V at 300 to 1000 degC for a share of oxygen in the exhaust of 1e-30 to 1."""
    within("oxygen", oxygen, 1e-30, 1.0)
    return _slope(temperature) * math.log(AIR_OXYGEN / oxygen)


def nernst_oxygen(temperature: float, voltage: float) -> float:
    """Return the share of oxygen in the exhaust that a voltage of -0.2 to 1.3 V means at 300 to 1000 degC."""
    within("voltage", voltage, -0.2, 1.3, "V")
    return AIR_OXYGEN * math.exp(-voltage / _slope(temperature))


_TIP = celsius("temperature", "of the sensor tip")

FORMULAS = (
    Formula(
        "oxygen-voltage",
        "Voltage of a zirconia sensor",
        nernst_voltage,
        (_TIP, number("oxygen", "", "share of oxygen in the exhaust, such as 1e-20")),
        (Answer("voltage", "V"),),
        "Nernst",
    ),
    Formula(
        "oxygen-share",
        "Oxygen that a zirconia sensor's voltage means",
        nernst_oxygen,
        (_TIP, volts("voltage", "signal")),
        (Answer("share of oxygen", ""),),
        "Nernst",
    ),
)
