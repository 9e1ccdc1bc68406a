"""Thermistors against published curves.

Sources: a laboratory temperature controller's manual, appendix on the Steinhart-Hart equation (measured
points of a common 10 kohm thermistor, fit good to 0.01 degC over 0 to 50 degC); a standard 10 kohm curve
(0 degC 32,650, 25 degC 10,000, 50 degC 3,603 ohm); a widely published automotive curve (from memory).
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proveout.physics.circuits import divider_voltage
from proveout.physics.ranges import OutsideRangeError
from proveout.physics.thermistor import (
    beta_resistance,
    beta_temperature,
    fit_beta,
    steinhart_coefficients,
    steinhart_resistance,
    steinhart_temperature,
)

MANUAL = {0.0: 32128.0, 10.0: 19549.0, 20.0: 12262.0, 25.0: 9814.0, 30.0: 7908.0, 50.0: 3542.0}


def test_published_points_lie_on_the_fit() -> None:
    """Through 0, 25 and 50 degC the others lie within 0.01 degC, as the manual says.

    Its row for 40 degC (5,331 ohm) is 0.47 K off all others, probably a misprint, and is left out.
    """
    a, b, c = steinhart_coefficients(0.0, MANUAL[0.0], 25.0, MANUAL[25.0], 50.0, MANUAL[50.0])
    for temperature, resistance in MANUAL.items():
        assert steinhart_temperature(resistance, a, b, c) == pytest.approx(temperature, abs=0.01)


def test_two_constants_are_worse_than_three() -> None:
    beta = fit_beta(0.0, MANUAL[0.0], 50.0, MANUAL[50.0])
    off = [abs(beta_temperature(r, MANUAL[0.0], 0.0, beta) - t) for t, r in MANUAL.items()]
    assert 0.1 < max(off) < 1.0


def test_coefficients_of_a_standard_curve() -> None:
    a, b, c = steinhart_coefficients(0.0, 32650.0, 25.0, 10000.0, 50.0, 3603.0)
    assert (a, b, c) == pytest.approx((1.125257e-3, 2.347204e-4, 8.563053e-8), rel=1e-5)
    assert steinhart_temperature(5000.0, a, b, c) == pytest.approx(41.580, abs=0.001)
    assert steinhart_temperature(20000.0, a, b, c) == pytest.approx(9.897, abs=0.001)


@pytest.mark.parametrize(
    ("temperature", "resistance"),
    [
        (-40, 401860),
        (0, 33621),
        (20, 12535),
        (40, 5302),
        (60, 2486),
        (80, 1270),
        (90, 934),
        (100, 697.5),
        (120, 407),
    ],
)
def test_beta_law(temperature: float, resistance: float) -> None:
    """10 kohm at 25 degC, Beta 3950 K, worked from the formula."""
    assert beta_resistance(temperature) == pytest.approx(resistance, rel=1e-3)
    assert beta_temperature(beta_resistance(temperature)) == pytest.approx(temperature, abs=1e-9)


def test_beta_of_an_automotive_curve() -> None:
    """Typical coolant sensor: 2.50 kohm at 20 degC, 323 ohm at 80 degC (from memory); Beta 3,531 K."""
    assert fit_beta(20.0, 2500.0, 80.0, 323.0) == pytest.approx(3531.0, abs=1.0)


@pytest.mark.parametrize(("sensor", "volts"), [(323.0, 0.640), (float("inf"), 5.0), (0.0, 0.0)])
def test_on_a_pull_up(sensor: float, volts: float) -> None:
    """5 V through 2.2 kohm: warm, open (reads cold), shorted (reads hot)."""
    assert divider_voltage(5.0, 2200.0, sensor) == pytest.approx(volts, abs=0.0005)


@settings(max_examples=60, deadline=None)
@given(st.floats(-40.0, 120.0))
def test_steinhart_inverse(temperature: float) -> None:
    coefficients = steinhart_coefficients(0.0, 32650.0, 25.0, 10000.0, 50.0, 3603.0)
    resistance = steinhart_resistance(temperature, *coefficients)
    assert steinhart_temperature(resistance, *coefficients) == pytest.approx(temperature, abs=1e-6)


def test_refused() -> None:
    with pytest.raises(OutsideRangeError):
        beta_resistance(400.0)
    with pytest.raises(OutsideRangeError):
        fit_beta(20.0, 300.0, 80.0, 2500.0)
    with pytest.raises(OutsideRangeError):
        steinhart_coefficients(0.0, 100.0, 25.0, 200.0, 50.0, 300.0)
    with pytest.raises(OutsideRangeError):
        steinhart_temperature(0.0, 1e-3, 2e-4, 8e-8)
