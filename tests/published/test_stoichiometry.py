"""Air that fuels need, worked from complete combustion; handbook figures beside (from memory)."""

from __future__ import annotations

import pytest

from proveout.physics.fuel import blend_ratio, equivalence_ratio, lambda_from_ratio, stoichiometric_ratio
from proveout.physics.ranges import OutsideRangeError

FUELS = [
    ("octane C8H18", 18.0 / 8.0, 0.0, 15.13),
    ("petrol CH1.85", 1.85, 0.0, 14.57),
    ("methane CH4", 4.0, 0.0, 17.24),
    ("ethanol C2H6O", 3.0, 0.5, 9.00),
    ("methanol CH4O", 4.0, 1.0, 6.47),
]


@pytest.mark.parametrize(("fuel", "hydrogen", "oxygen", "ratio"), FUELS)
def test_fuels(fuel: str, hydrogen: float, oxygen: float, ratio: float) -> None:
    assert stoichiometric_ratio(hydrogen, oxygen) == pytest.approx(ratio, abs=0.01), fuel


def test_blends() -> None:
    """Petrol with 10 % ethanol needs about 14.0 to 14.1, E85 about 9.8 (handbooks, from memory)."""
    assert blend_ratio(0.0) == pytest.approx(14.57, abs=0.01)
    assert blend_ratio(10.0) == pytest.approx(14.0, abs=0.1)
    assert blend_ratio(85.0) == pytest.approx(9.8, abs=0.1)


def test_lambda_and_equivalence() -> None:
    assert lambda_from_ratio(14.7) == 1.0
    assert lambda_from_ratio(16.17) == pytest.approx(1.1)
    assert equivalence_ratio(1.1) == pytest.approx(0.90909, abs=1e-5)
    with pytest.raises(OutsideRangeError):
        equivalence_ratio(0.0)
