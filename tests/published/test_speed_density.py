"""Air flow by speed and density, and trim arithmetic, worked by hand from the ideal gas law (R 287.05)."""

from __future__ import annotations

import pytest

from proveout.physics.air import speed_density, volumetric_efficiency
from proveout.physics.cylinders import leak_down, lowest_compression, relative_compression
from proveout.physics.fuel import fuel_factor, leak_from_trims, total_trim, trim_from_leak
from proveout.physics.ranges import OutsideRangeError


def test_idle_flow() -> None:
    """2.0 L, 800 rpm, 35 kPa, 310 K, volumetric efficiency 80 %: 4.20 g/s."""
    assert speed_density(2.0, 800.0, 35.0, 36.85, 80.0) == pytest.approx(4.20, abs=0.005)
    assert volumetric_efficiency(4.195, 2.0, 800.0, 35.0, 36.85) == pytest.approx(80.0, abs=0.1)


def test_trims_of_an_air_leak() -> None:
    """0.4 g/s beside 4 g/s needs 10 %, beside 20 g/s only 2 %; a constant 3 % stays at both."""
    assert trim_from_leak(0.4, 4.0) == pytest.approx(10.0)
    assert trim_from_leak(0.4, 20.0) == pytest.approx(2.0)
    assert leak_from_trims(13.0, 4.0, 5.0, 20.0) == pytest.approx((0.4, 3.0))


def test_trims_together() -> None:
    assert total_trim(5.0, 12.0) == 17.0
    assert fuel_factor(5.0, 12.0) == pytest.approx(1.05 * 1.12)


def test_cylinders() -> None:
    assert relative_compression([1200.0, 1170.0, 840.0, 1185.0]) == pytest.approx((100.0, 97.5, 70.0, 98.75))
    assert lowest_compression([150.0, 145.0, 120.0, 148.0]) == pytest.approx(80.0)
    assert leak_down(700.0, 595.0) == pytest.approx(15.0)


def test_refused() -> None:
    with pytest.raises(OutsideRangeError):
        leak_down(600.0, 650.0)
    with pytest.raises(OutsideRangeError):
        leak_from_trims(10.0, 4.0, 5.0, 4.5)
    with pytest.raises(OutsideRangeError):
        relative_compression([1200.0])
