"""Air pressure with altitude against the standard atmosphere, ISO 2533 (values from memory of its table)."""

from __future__ import annotations

import pytest

from proveout.measure.reading import read
from proveout.physics.atmosphere import (
    absolute_pressure,
    gauge_pressure,
    isa_altitude,
    isa_pressure,
    manifold_pressure,
)
from proveout.physics.cylinders import compression_at
from proveout.physics.ranges import OutsideRangeError

TABLE = [
    (0.0, 101.325), (500.0, 95.461), (1000.0, 89.875), (1500.0, 84.556), (2000.0, 79.495), (2500.0, 74.683),
    (3000.0, 70.109), (5000.0, 54.020),
]  # fmt: skip


@pytest.mark.parametrize(("metres", "kilopascal"), TABLE)
def test_table(metres: float, kilopascal: float) -> None:
    assert isa_pressure(metres) == pytest.approx(kilopascal, abs=0.0015)
    assert isa_altitude(isa_pressure(metres)) == pytest.approx(metres, abs=1e-6)


def test_eight_thousand_feet() -> None:
    """8,000 ft (2438 m) is a common upper limit for monitors; 75.26 kPa."""
    assert isa_pressure(2438.4) == pytest.approx(75.262, abs=0.01)


def test_manifold_vacuum_at_altitude() -> None:
    """18 inHg of vacuum is 40.37 kPa absolute at the sea, 23.60 kPa at 1500 m."""
    vacuum = read("18 inHg", "pressure", "kPa", "atmosphere").middle
    assert vacuum == pytest.approx(60.955, abs=0.001)
    assert manifold_pressure(vacuum) == pytest.approx(40.37, abs=0.005)
    assert manifold_pressure(vacuum, 1500.0) == pytest.approx(23.60, abs=0.005)


def test_gauge_and_absolute() -> None:
    assert absolute_pressure(-60.955) == pytest.approx(40.37)
    assert gauge_pressure(84.556, 84.556) == 0.0
    assert gauge_pressure(absolute_pressure(35.0, 90.0), 90.0) == pytest.approx(35.0)


def test_compression_falls_with_the_air() -> None:
    assert compression_at(1200.0, 1500.0) == pytest.approx(1200.0 * 84.556 / 101.325, rel=1e-4)


@pytest.mark.parametrize("metres", [-600.0, 7000.0, float("nan")])
def test_refused_outside(metres: float) -> None:
    with pytest.raises(OutsideRangeError):
        isa_pressure(metres)


def test_nothing_below_full_vacuum() -> None:
    with pytest.raises(OutsideRangeError):
        manifold_pressure(90.0, 1500.0)
    with pytest.raises(OutsideRangeError):
        absolute_pressure(-102.0)
