"""Small leaks against the orifice equation worked by hand, and air density against CoolProp.

Orifice figures: incompressible, air 1.2041 kg/m3 at 20 degC and 101.325 kPa (CoolProp 8.0.0 gave 1.2046).
Leaks of 0.020 and 0.040 in are those of US on-board diagnostic rules.
"""

from __future__ import annotations

import math

import pytest
import scipy

from proveout.physics.leak import (
    AIR_DENSITY,
    decay_time,
    leak_by_comparison,
    leak_diameter,
    orifice_flow,
    vapour_space,
    vapour_volume,
)
from proveout.physics.ranges import OutsideRangeError

TEN_INCHES = 2490.889  # Pa, 10 inH2O
SMALL, LARGE = 0.508, 1.016  # mm: 0.020 and 0.040 in


@pytest.mark.parametrize(
    ("diameter", "discharge", "litres_per_minute"),
    [(SMALL, 0.6, 0.469), (LARGE, 0.6, 1.877), (SMALL, 1.0, 0.782), (LARGE, 1.0, 3.129)],
)
def test_flow_at_ten_inches_of_water(diameter: float, discharge: float, litres_per_minute: float) -> None:
    assert orifice_flow(diameter, TEN_INCHES, discharge) == pytest.approx(litres_per_minute, abs=0.0006)
    assert orifice_flow(diameter, -TEN_INCHES, discharge) == orifice_flow(diameter, TEN_INCHES, discharge)


def test_twice_the_hole_flows_four_times() -> None:
    assert orifice_flow(LARGE, TEN_INCHES) / orifice_flow(SMALL, TEN_INCHES) == pytest.approx(4.0)


def test_air_density() -> None:
    assert pytest.approx(1.2046, rel=5e-4) == AIR_DENSITY


@pytest.mark.parametrize(
    ("diameter", "end", "seconds"),
    [(SMALL, 0.5, 73.6), (LARGE, 0.5, 18.4), (SMALL, 0.0, 251.4), (LARGE, 0.0, 62.9)],
)
def test_decay_of_forty_litres(diameter: float, end: float, seconds: float) -> None:
    assert decay_time(40.0, diameter, TEN_INCHES, end * TEN_INCHES) == pytest.approx(seconds, abs=0.06)


def test_half_against_all() -> None:
    """t_half / t_zero = 1 - 1/sqrt(2)."""
    half, whole = (decay_time(40.0, SMALL, -TEN_INCHES, -end * TEN_INCHES) for end in (0.5, 0.0))
    assert half / whole == pytest.approx(1.0 - 1.0 / math.sqrt(2.0))


def test_decay_against_a_numerical_solution() -> None:
    """Scipy integrates dp/dt = -Cd A sqrt(2p/rho) Patm/V itself."""
    area = math.pi / 4.0 * (SMALL / 1000.0) ** 2

    def fall(_: float, p: list[float]) -> list[float]:
        return [-0.6 * area * math.sqrt(2.0 * max(p[0], 0.0) / AIR_DENSITY) * 101325.0 / 0.040]

    found = scipy.integrate.solve_ivp(fall, (0.0, 100.0), [TEN_INCHES], rtol=1e-9, atol=1e-9)
    assert decay_time(40.0, SMALL, TEN_INCHES, float(found.y[0][-1])) == pytest.approx(100.0, rel=1e-5)


def test_size_from_a_decay_and_volume_from_a_known_hole() -> None:
    diameter, u = leak_diameter(40.0, TEN_INCHES, TEN_INCHES / 2.0, 73.6)
    assert diameter == pytest.approx(SMALL, abs=0.001)
    assert u / diameter == pytest.approx(0.05)  # half of the 10 % of the discharge coefficient
    volume, u_volume = vapour_volume(LARGE, TEN_INCHES, TEN_INCHES / 2.0, 18.4)
    assert volume == pytest.approx(40.0, abs=0.1)
    assert u_volume / volume == pytest.approx(0.1)


def test_time_scales_with_the_vapour_space() -> None:
    """A fuller tank decays faster."""
    full, empty = vapour_space(60.0, 85.0), vapour_space(60.0, 15.0)
    assert (full, empty) == pytest.approx((11.0, 53.0))
    assert decay_time(full, SMALL, TEN_INCHES) < decay_time(empty, SMALL, TEN_INCHES)
    assert leak_by_comparison(LARGE, 18.4, 73.6) == pytest.approx(SMALL, rel=1e-3)


@pytest.mark.parametrize(
    ("start", "end"), [(TEN_INCHES, 3000.0), (TEN_INCHES, -100.0), (9000.0, 100.0), (0.0, 0.0)]
)
def test_what_is_no_decay_is_refused(start: float, end: float) -> None:
    with pytest.raises(OutsideRangeError):
        leak_diameter(40.0, start, end, 60.0)
