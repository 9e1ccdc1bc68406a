"""Ratiometric sensors: the signal is a share of the supply, so a low supply reads as a wrong value.

Law: V = Vs (gain p + offset). The defaults, gain 0.009 per kPa and offset -0.095, are a widely published law
for absolute manifold pressure sensors (from memory); makers differ, and the vehicle's own figure wins.
"""

from __future__ import annotations

from proveout.physics.formula import Answer, Formula, absolute, number, volts
from proveout.physics.ranges import within

GAIN = 0.009  # 1/kPa, from memory
OFFSET = -0.095  # from memory


def _supply(supply: float) -> float:
    return within("supply", supply, 3.0, 6.0, "V")


def ratiometric_voltage(
    pressure: float, supply: float = 5.0, gain: float = GAIN, offset: float = OFFSET
) -> float:
    """Return the signal in V of a pressure sensor at kPa and a supply of 3 to 6 V.

    Raises:
        OutsideRangeError: the signal would lie outside the supply, where the law ends.
    """
    within("gain", abs(gain), 1e-6, 10.0, "1/kPa")
    share = within(
        "signal share", gain * pressure + offset, 0.0, 1.0, "", "the signal stays within the supply"
    )
    return _supply(supply) * share


def ratiometric_pressure(
    voltage: float, supply: float = 5.0, gain: float = GAIN, offset: float = OFFSET
) -> float:
    """Return the pressure in kPa that a signal in V means at the supply actually measured (3 to 6 V)."""
    within("gain", abs(gain), 1e-6, 10.0, "1/kPa")
    within("voltage", voltage, 0.0, _supply(supply), "V", "the signal stays within the supply")
    return (voltage / supply - offset) / gain


def misread_pressure(
    pressure: float, supply: float, assumed: float = 5.0, gain: float = GAIN, offset: float = OFFSET
) -> float:
    """Return the pressure in kPa that a module reads which takes the supply for ``assumed`` volts."""
    voltage = ratiometric_voltage(pressure, supply, gain, offset)
    return (voltage / _supply(assumed) - offset) / gain


def at_nominal_supply(voltage: float, supply: float, nominal: float = 5.0) -> float:
    """Return the signal in V that the sensor would show at its nominal supply.

    Holds for a supply of 60 to 120 % of the nominal one; further off, the supply is the fault.
    """
    within("nominal", nominal, 1.0, 60.0, "V")
    return (
        voltage
        * nominal
        / within("supply", supply, 0.6 * nominal, 1.2 * nominal, "V", "else the supply is at fault")
    )


def signal_share(voltage: float, supply: float = 5.0) -> float:
    """Return a signal as percent of its supply, as for a throttle or pedal position sensor."""
    within("voltage", voltage, 0.0, _supply(supply), "V", "the signal stays within the supply")
    return 100.0 * voltage / supply


_SOURCE = "common sensor law, from memory; makers differ"
_SUPPLY = volts("supply", "supply as measured at the sensor", 5.0)
_PRESSURE = absolute("pressure", "kPa", "absolute pressure")
_LAW = (
    number("gain", "1/kPa", "share of the supply per kPa", GAIN),
    number("offset", "", "share of the supply at zero pressure", OFFSET),
)

FORMULAS = (
    Formula(
        "sensor-voltage",
        "Signal of a ratiometric pressure sensor",
        ratiometric_voltage,
        (_PRESSURE, _SUPPLY, *_LAW),
        (Answer("signal", "V"),),
        _SOURCE,
    ),
    Formula(
        "sensor-pressure",
        "Pressure that a ratiometric signal means",
        ratiometric_pressure,
        (volts("voltage", "signal"), _SUPPLY, *_LAW),
        (Answer("pressure", "kPa"),),
        _SOURCE,
    ),
    Formula(
        "misread-pressure",
        "What a module reads when the sensor's supply is off",
        misread_pressure,
        (
            _PRESSURE,
            volts("supply", "supply as it is"),
            volts("assumed", "supply that is assumed", 5.0),
            *_LAW,
        ),
        (Answer("pressure that it reads", "kPa"),),
        _SOURCE,
    ),
    Formula(
        "nominal-signal",
        "Signal brought to the nominal supply",
        at_nominal_supply,
        (
            volts("voltage", "signal"),
            volts("supply", "supply as measured"),
            volts("nominal", "nominal supply", 5.0),
        ),
        (Answer("signal at the nominal supply", "V"),),
        "definition of ratiometric",
    ),
    Formula(
        "signal-share",
        "Signal as a share of its supply",
        signal_share,
        (volts("voltage", "signal"), _SUPPLY),
        (Answer("share", "%"),),
        "definition of ratiometric",
    ),
)
