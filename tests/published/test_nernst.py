"""The zirconia oxygen sensor against the Nernst equation worked by hand, E = RT/4F ln(0.2095/pO2)."""

from __future__ import annotations

import pytest

from proveout.physics.oxygen import nernst_oxygen, nernst_voltage
from proveout.physics.ranges import OutsideRangeError

ZERO_C = 273.15


@pytest.mark.parametrize(
    ("kelvin", "oxygen", "volts"), [(1000.0, 1e-20, 0.958), (923.0, 1e-18, 0.793), (1000.0, 0.01, 0.0655)]
)
def test_voltage(kelvin: float, oxygen: float, volts: float) -> None:
    assert nernst_voltage(kelvin - ZERO_C, oxygen) == pytest.approx(volts, abs=0.0006)


@pytest.mark.parametrize(("kelvin", "oxygen"), [(1000.0, 1.8e-10), (873.0, 8.5e-12)])
def test_the_switching_point(kelvin: float, oxygen: float) -> None:
    """450 mV lies in the steep part between rich and lean."""
    assert nernst_oxygen(kelvin - ZERO_C, 0.45) == pytest.approx(oxygen, rel=0.02)


def test_air_on_both_sides_gives_nothing() -> None:
    assert nernst_voltage(700.0, 0.2095) == pytest.approx(0.0, abs=1e-12)


def test_a_cold_sensor_is_refused() -> None:
    with pytest.raises(OutsideRangeError):
        nernst_voltage(200.0, 1e-10)
