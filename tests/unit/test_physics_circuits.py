"""Circuits: what they read at fault, and what a reading means."""

from __future__ import annotations

import math

import pytest

from proveout.physics.circuits import (
    added_resistance,
    circuit_readings,
    contact_resistance,
    divider_voltage,
    missing_parallel,
    parallel_resistance,
    sensor_resistance,
    series_resistance,
)
from proveout.physics.ranges import OutsideRangeError, within


def test_fault_readings_of_a_pull_up_circuit() -> None:
    seen = circuit_readings(5.0, 2200.0, 323.0)
    assert seen.sound == pytest.approx(0.640, abs=5e-4)
    assert (seen.open, seen.shorted_to_ground, seen.shorted_to_supply) == (5.0, 0.0, 5.0)


@pytest.mark.parametrize("ohms", [0.0, 10.0, 323.0, 2200.0, 45e3])
def test_resistance_from_the_signal_and_back(ohms: float) -> None:
    assert sensor_resistance(5.0, 2200.0, divider_voltage(5.0, 2200.0, ohms)) == pytest.approx(ohms)


@pytest.mark.parametrize("added", [0.0, 5.0, 150.0, 2000.0])
def test_resistance_added_by_a_bad_pin(added: float) -> None:
    signal = divider_voltage(5.0, 2200.0, 323.0 + added)
    assert added_resistance(5.0, 2200.0, 323.0, signal) == pytest.approx(added, abs=1e-9)


def test_a_lower_signal_is_no_added_resistance() -> None:
    with pytest.raises(OutsideRangeError, match="no added resistance"):
        added_resistance(5.0, 2200.0, 323.0, 0.3)


def test_resistances_together() -> None:
    assert series_resistance([100.0, 220.0]) == 320.0
    assert parallel_resistance([120.0, 120.0]) == pytest.approx(60.0)
    assert parallel_resistance([120.0, math.inf]) == pytest.approx(120.0)
    assert parallel_resistance([math.inf]) == math.inf
    assert missing_parallel(60.0, 120.0) == pytest.approx(120.0)
    assert missing_parallel(120.0, 120.0) == math.inf


@pytest.mark.parametrize(
    "call",
    [
        lambda: parallel_resistance([]),
        lambda: parallel_resistance([0.0, 5.0]),
        lambda: series_resistance([-1.0]),
        lambda: missing_parallel(130.0, 120.0),
        lambda: sensor_resistance(5.0, 2200.0, 5.0),
        lambda: contact_resistance(0.1, 0.0),
        lambda: divider_voltage(0.0, 2200.0, 5.0),
        lambda: within("x", math.nan, 0.0, 1.0),
    ],
)
def test_refused_outside_their_range(call: object) -> None:
    with pytest.raises(OutsideRangeError):
        call()  # type: ignore[operator]


def test_the_refusal_names_everything() -> None:
    with pytest.raises(OutsideRangeError) as error:
        within("supply", 12.0, 3.0, 6.0, "V", "a sensor's supply")
    assert str(error.value) == "supply is 12 V; this holds for 3 to 6 V: a sensor's supply"
    assert (error.value.name, error.value.value, error.value.unit) == ("supply", 12.0, "V")
