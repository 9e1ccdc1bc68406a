"""Figures that entries of the book cite, held against what their source says.

Sources, each read: data sheet of an automotive thermistor for water and oil (Race Technology Ltd,
"Oil / Water Temperature Sensor"); UN Regulation No 39, 5.3, as quoted in a press report (examples for 50 to
130 km/h); "Oil Pressure" of a maker of gauges (Rico Instrument Co.); New York State's inspection programme,
"EVAP System Monitor".
"""

from __future__ import annotations

import pytest

from helpers_shipped import shipped_book
from proveout.physics.thermistor import beta_resistance

#: degC, least and most kohm of the data sheet.
SHEET = [(-10.0, 8.26, 10.56), (20.0, 2.28, 2.72), (80.0, 0.290, 0.364)]


@pytest.mark.parametrize(("celsius", "least", "most"), SHEET)
def test_the_curve_of_the_coolant_sensor_lies_in_the_data_sheet(
    celsius: float, least: float, most: float
) -> None:
    """The curve that is derived beside the reading: 2.5 kohm at 20 degC, beta 3530."""
    assert least <= beta_resistance(celsius, 2.5, 20.0, 3530.0) <= most


def test_a_sound_coolant_sensor_is_not_convicted_between_10_and_30_degrees() -> None:
    """The sheet's own tolerance, carried from 20 degC to the ends of what the steps allow."""
    for celsius in (10.0, 20.0, 30.0):
        for rated in (2280.0, 2720.0):
            ohms = beta_resistance(celsius, rated, 20.0, 3530.0)
            assert 1400 <= ohms <= 4600


def test_the_least_oil_pressure_is_ten_psi_for_each_thousand_revolutions() -> None:
    least = 2 * 10 * 6.894757
    assert least == pytest.approx(140, abs=3)


@pytest.mark.parametrize(("true", "most"), [(50, 59), (70, 81), (90, 103), (110, 125), (130, 147)])
def test_what_a_speedometer_may_show(true: int, most: int) -> None:
    assert true + true / 10 + 4 == most


def test_the_book_says_these_figures() -> None:
    said = shipped_book().inspections
    assert "a tenth plus 4 km/h" in said["speed-against-satellite"].results[0].means
    assert "between a quarter and three quarters" in said["tank-level-for-monitors"].results[0].means
    ohms = said["coolant-sensor-resistance-cold"].reading
    assert ohms is not None and "2.28 to 2.72" in ohms.limits_source
