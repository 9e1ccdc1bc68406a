"""Battery figures of the BCI handbook for flooded 12 V batteries (from memory)."""

from __future__ import annotations

import pytest

from proveout.physics.battery import charging_state, load_test_minimum, rest_voltage, state_of_charge
from proveout.physics.ranges import OutsideRangeError


@pytest.mark.parametrize(
    ("volts", "charge"), [(12.65, 100.0), (12.45, 75.0), (12.24, 50.0), (12.06, 25.0), (11.89, 0.0)]
)
def test_rested_voltage(volts: float, charge: float) -> None:
    assert state_of_charge(volts)[0] == pytest.approx(charge)
    assert rest_voltage(charge) == pytest.approx(volts)


@pytest.mark.parametrize(
    ("celsius", "volts"), [(21.0, 9.6), (4.0, 9.3), (-7.0, 8.9), (-18.0, 8.5), (35.0, 9.6)]
)
def test_load_test(celsius: float, volts: float) -> None:
    assert load_test_minimum(celsius) == pytest.approx(volts)


@pytest.mark.parametrize(
    ("volts", "state"), [(12.6, "low"), (13.5, "normal"), (14.8, "normal"), (15.2, "high")]
)
def test_charging(volts: float, state: str) -> None:
    """13.5 to 14.8 V; smart charging can go outside both ways for a while."""
    assert charging_state(volts) == state


def test_a_rounded_table_differs_by_less_than_a_one_percent_meter() -> None:
    """12.6, 12.4, 12.2, 12.0 V for 100 to 25 % circulates too (seen quoted)."""
    for volts, charge in ((12.6, 100.0), (12.4, 75.0), (12.2, 50.0), (12.0, 25.0)):
        assert abs(rest_voltage(charge) - volts) < 0.126


@pytest.mark.parametrize("volts", [10.0, 13.5])
def test_not_a_rested_battery(volts: float) -> None:
    with pytest.raises(OutsideRangeError):
        state_of_charge(volts)
