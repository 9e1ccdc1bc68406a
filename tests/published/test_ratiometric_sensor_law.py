"""A widely published law for absolute pressure sensors, V = Vs (0.009 P - 0.095) (from memory), worked."""

from __future__ import annotations

import pytest

from proveout.physics.ranges import OutsideRangeError
from proveout.physics.sensors import (
    at_nominal_supply,
    misread_pressure,
    ratiometric_pressure,
    ratiometric_voltage,
    signal_share,
)

ATMOSPHERE = 101.325


def test_a_low_supply_reads_as_a_low_pressure() -> None:
    """4 % less supply: 3.921 V instead of 4.085 V, which is read as 97.7 kPa, 3.6 kPa too little."""
    assert ratiometric_voltage(ATMOSPHERE, 5.0) == pytest.approx(4.085, abs=0.0005)
    assert ratiometric_voltage(ATMOSPHERE, 4.8) == pytest.approx(3.921, abs=0.0006)
    assert misread_pressure(ATMOSPHERE, 4.8) == pytest.approx(97.7, abs=0.05)
    assert ATMOSPHERE - misread_pressure(ATMOSPHERE, 4.8) == pytest.approx(3.6, abs=0.05)


def test_scaled_by_the_measured_supply_it_is_right() -> None:
    assert ratiometric_pressure(ratiometric_voltage(ATMOSPHERE, 4.8), 4.8) == pytest.approx(ATMOSPHERE)
    assert at_nominal_supply(3.921, 4.8) == pytest.approx(4.085, abs=0.001)
    assert signal_share(0.5) == pytest.approx(10.0)


def test_refused() -> None:
    with pytest.raises(OutsideRangeError):
        ratiometric_voltage(5.0)
    with pytest.raises(OutsideRangeError):
        ratiometric_pressure(5.2, 5.0)
    with pytest.raises(OutsideRangeError):
        at_nominal_supply(2.0, 2.0)
