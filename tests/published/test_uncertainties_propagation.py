"""First-order propagation against the library ``uncertainties`` (3.2)."""

from __future__ import annotations

import math

import pytest
from uncertainties import ufloat, umath

from proveout.measure.compute import compute
from proveout.measure.instrument import Instrument
from proveout.measure.propagate import difference, propagate
from proveout.physics.battery import state_of_charge
from proveout.physics.circuits import sensor_resistance
from proveout.physics.leak import leak_diameter


def test_drop_between_two_readings() -> None:
    """12.60 and 12.42 V with 0.5 % + 2 counts: 0.18 +- 0.07 V, not safely over 0.1 V."""
    meter = Instrument("m", percent=0.5, floor=0.02)
    us = meter.uncertainty(12.60), meter.uncertainty(12.42)
    value, u = difference(12.60, 12.42, *us)
    other = ufloat(12.60, us[0]) - ufloat(12.42, us[1])
    assert (value, u) == pytest.approx((other.n, other.s))
    assert (round(value, 2), round(u, 2)) == (0.18, 0.07)


def test_resistance_from_a_divider() -> None:
    value, u = propagate(sensor_resistance, (5.0, 2200.0, 0.64), (0.02, 22.0, 0.006))
    supply, pull_up, volts = ufloat(5.0, 0.02), ufloat(2200.0, 22.0), ufloat(0.64, 0.006)
    other = pull_up * volts / (supply - volts)
    assert (value, u) == pytest.approx((other.n, other.s), rel=1e-4)


def test_product_and_root() -> None:
    value, u = propagate(lambda a, b: a * math.sqrt(b), (3.0, 2.0), (0.03, 0.05))
    other = ufloat(3.0, 0.03) * umath.sqrt(ufloat(2.0, 0.05))
    assert (value, u) == pytest.approx((other.n, other.s), rel=1e-4)


def test_size_of_a_leak() -> None:
    """D goes with the root of the volume and of one over the discharge coefficient."""
    diameter, u = leak_diameter(40.0, 2490.9, 1245.45, 73.6, u_volume=4.0)
    other = 0.508 * umath.sqrt(ufloat(40.0, 4.0) / 40.0 / (ufloat(0.6, 0.06) / 0.6))
    assert u / diameter == pytest.approx(other.s / other.n, rel=1e-6)


def test_state_of_charge_of_a_one_percent_meter() -> None:
    """A 1 % meter is +-0.12 V, about +-15 % of charge (seen quoted): as a bound over sqrt(3)."""
    charge, u = state_of_charge(12.45, 0.126 / math.sqrt(3.0))
    assert charge == pytest.approx(75.0)
    assert u * math.sqrt(3.0) == pytest.approx(15.0, abs=1.0)


def test_a_typed_range_carries_its_uncertainty() -> None:
    (answer,) = compute("contact-resistance", {"drop": "0.78..0.82 V", "current": "8 A"})
    other = ufloat(0.80, 0.02 / math.sqrt(3.0)) / 8.0
    assert (answer.value, answer.uncertainty) == pytest.approx((other.n, other.s))
