"""Probability of conformity against JCGM 106:2012 and scipy.

Inputs of the examples: 7.4 as a calibration laboratory's page quotes them; those of 7.3.3 from memory.
"""

from __future__ import annotations

import math

import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from proveout.measure.conform import below, probability_in
from proveout.measure.instrument import Instrument
from proveout.measure.judging import judge
from proveout.measure.specification import read_instrument
from proveout.model.specs import Band, ReadingSpec

INFINITE = math.inf


@pytest.mark.parametrize(
    ("low", "high", "y", "u", "probability"),
    [
        (12.5, 16.3, 13.6, 1.8, 0.6626),  # JCGM 106:2012, 7.4; the guide rounds to 0.66
        (-INFINITE, -5.40, -5.47, 0.05, 0.9192),  # 7.3.3, example 1: Phi(1.4)
        (490.0, INFINITE, 509.7, 8.6, 0.989),  # 7.3.3, example 2
        (0.0, INFINITE, 0.0, 1.0, 0.5),  # on the limit
        (-1.645, INFINITE, 0.0, 1.0, 0.95),  # guard band for 95 %, one-sided
        (-1.960, INFINITE, 0.0, 1.0, 0.975),
        (-2.0, INFINITE, 0.0, 1.0, 0.9772),  # g = U = 2u
    ],
)
def test_worked_examples(low: float, high: float, y: float, u: float, probability: float) -> None:
    assert probability_in(low, high, y, y, u) == pytest.approx(probability, abs=5e-4)


def test_the_judgement_gives_the_same() -> None:
    spec = ReadingSpec("voltage", "V", "", (Band("conforming", None, -5.40), Band("not")))
    states = dict(judge(spec, value="-5.47 V", instrument="u = 0.05 V").states)
    assert states["conforming"] == pytest.approx(0.91924, abs=1e-5)


@settings(max_examples=150, deadline=None)
@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(0.01, 3.0))
def test_normal_probability_is_that_of_scipy(limit: float, y: float, u: float) -> None:
    assert below(limit, y, y, u) == pytest.approx(scipy.stats.norm.cdf(limit, y, u), abs=1e-12)


@settings(max_examples=25, deadline=None)
@given(st.floats(-3, 3), st.floats(-3, 3), st.floats(0.01, 3.0), st.floats(0.05, 2.0))
def test_a_range_of_readings_is_the_mean_over_the_range(
    limit: float, y: float, width: float, u: float
) -> None:
    integral, _ = scipy.integrate.quad(lambda x: scipy.stats.norm.cdf(limit, x, u), y, y + width)
    assert below(limit, y, y + width, u) == pytest.approx(integral / width, abs=1e-7)


@pytest.mark.parametrize(
    ("specification", "quantity", "unit", "reading", "bound"),
    [
        # data-sheet form +-(% of reading + counts), arithmetic
        ("0.5 % + 2 counts of 0.01 V", "voltage", "V", 12.60, 0.083),
        ("0.5 % + 2 counts of 0.001 V", "voltage", "V", 4.980, 0.0269),
        ("0.9 % + 1 count of 0.1 ohm", "resistance", "ohm", 2.3, 0.1207),
    ],
)
def test_meter_specifications(
    specification: str, quantity: str, unit: str, reading: float, bound: float
) -> None:
    meter = read_instrument(specification, quantity, unit, reading)
    assert meter.bound(reading) == pytest.approx(bound, abs=5e-5)


def test_a_rectangular_bound() -> None:
    """JCGM 100:2008, 4.3.7: u = a/sqrt(3); 0.083 V gives 0.0479 V."""
    assert Instrument("m", floor=0.083).uncertainty(12.6) == pytest.approx(0.0479, abs=5e-5)
