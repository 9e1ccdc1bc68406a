"""Boiling point of water against IAPWS-IF97 (verification table 36, from memory) and CoolProp 8.0.0."""

from __future__ import annotations

import pytest

from proveout.physics.cooling import water_boiling_point
from proveout.physics.ranges import OutsideRangeError


@pytest.mark.parametrize(
    ("kilopascal", "kelvin"), [(100.0, 372.755919), (1000.0, 453.035632), (10000.0, 584.149488)]
)
def test_verification_table(kilopascal: float, kelvin: float) -> None:
    assert water_boiling_point(kilopascal) + 273.15 == pytest.approx(kelvin, abs=2e-6)


@pytest.mark.parametrize(("kilopascal", "celsius"), [(101.325, 99.97), (200.0, 120.21)])
def test_coolprop(kilopascal: float, celsius: float) -> None:
    assert water_boiling_point(kilopascal) == pytest.approx(celsius, abs=0.006)


def test_refused() -> None:
    with pytest.raises(OutsideRangeError):
        water_boiling_point(0.1)
