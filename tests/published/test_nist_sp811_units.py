"""Unit conversions against NIST Special Publication 811, appendix B.8 (factors from memory)."""

from __future__ import annotations

import pytest

from proveout.measure.convert import convert
from proveout.measure.display import show
from proveout.measure.reading import read
from proveout.measure.units import find_unit

FACTORS = [
    # quantity, unit, SI or metric unit, factor
    ("pressure", "inHg", "Pa", 3386.389),  # inch of mercury, conventional
    ("pressure", "inH2O", "Pa", 249.0889),  # inch of water, conventional
    ("pressure", "mmHg", "Pa", 133.3224),
    ("pressure", "mmH2O", "Pa", 9.80665),
    ("pressure", "cmH2O", "Pa", 98.0665),
    ("pressure", "psi", "Pa", 6894.757),
    ("pressure", "torr", "Pa", 133.3224),
    ("pressure", "atm", "Pa", 101325.0),
    ("pressure", "bar", "Pa", 100000.0),
    ("pressure", "mbar", "Pa", 100.0),
    ("pressure", "kgf/cm2", "Pa", 98066.5),
    ("length", "in", "mm", 25.4),
    ("length", "ft", "m", 0.3048),
    ("length", "mi", "km", 1.609344),
    ("length", "thou", "mm", 0.0254),
    ("speed", "mph", "km/h", 1.609344),
    ("mass flow", "lb/min", "g/s", 7.559873),
    ("volume flow", "cfm", "L/min", 28.31685),
    ("volume flow", "gal/h", "L/h", 3.785412),
    ("volume", "gal", "L", 3.785412),
    ("time", "h", "s", 3600.0),
]


@pytest.mark.parametrize(("quantity", "unit", "metric", "factor"), FACTORS)
def test_factors(quantity: str, unit: str, metric: str, factor: float) -> None:
    assert convert(1.0, find_unit(unit, quantity), find_unit(metric, quantity)) == pytest.approx(
        factor, rel=4e-7
    )


def test_water_at_other_temperatures_is_another_inch() -> None:
    """The conventional inch of water is not that at 60 degF (248.84 Pa): the difference is 0.1 %."""
    assert read("10 inH2O", "pressure", "Pa", "atmosphere").middle == pytest.approx(2490.889, abs=0.001)
    assert read("10 inH2O", "pressure", "Pa", "atmosphere").middle > 2488.4 + 2.0


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"), [(-40.0, -40.0), (0.0, 32.0), (100.0, 212.0), (37.0, 98.6), (-273.15, -459.67)]
)
def test_temperatures(celsius: float, fahrenheit: float) -> None:
    """SP 811, B.8: t/degC = (t/degF - 32)/1.8."""
    assert read(f"{fahrenheit} degF", "temperature", "degC").middle == pytest.approx(celsius, abs=1e-9)
    assert read(f"{celsius} degC", "temperature", "degF").middle == pytest.approx(fahrenheit, abs=1e-9)
    assert read(f"{celsius} degC", "temperature", "K").middle == pytest.approx(celsius + 273.15, abs=1e-9)


@pytest.mark.parametrize(
    ("typed", "millimetres"),
    [
        ("1/8 in", 3.175), ("5/32 in", 3.96875), ("3/16 in", 4.7625), ("7/32 in", 5.55625), ("1/4 in", 6.35),
        ("5/16 in", 7.9375), ("3/8 in", 9.525), ("7/16 in", 11.1125), ("1/2 in", 12.7), ("5/8 in", 15.875),
        ("3/4 in", 19.05),
    ],
)  # fmt: skip
def test_hose_bores(typed: str, millimetres: float) -> None:
    """1 in = 25.4 mm exactly (SP 811, B.8)."""
    assert read(typed, "length", "mm").middle == pytest.approx(millimetres, abs=1e-12)


@pytest.mark.parametrize(("inch", "metric"), [("5/32 in", 4.0), ("5/16 in", 8.0), ("3/16 in", 5.0)])
def test_near_misses_of_hose_bores_stay_distinct(inch: str, metric: float) -> None:
    assert abs(read(inch, "length", "mm").middle - metric) > 0.03


@pytest.mark.parametrize(
    ("value", "unit", "quantity", "reference", "metric", "us"),
    [
        (-67.72777, "kPa", "pressure", "atmosphere", "-67.73 kPa", "-20 inHg"),
        (-2490.889, "Pa", "pressure", "atmosphere", "-2.491 kPa", "-10 inH2O"),
        (-500.0, "Pa", "pressure", "atmosphere", "-500 Pa", "-2.007 inH2O"),
        (241.3165, "kPa", "pressure", "atmosphere", "241.3 kPa", "35 psi"),
        (101.325, "kPa", "pressure", "vacuum", "101.3 kPa abs", "29.92 inHg abs"),
        (100.0, "degC", "temperature", "", "100 °C", "212 °F"),
        (4.7625, "mm", "length", "", "4.763 mm", "0.1875 in"),
        (96.56064, "km/h", "speed", "", "96.56 km/h", "60 mph"),
        (1500.0, "m", "length", "", "1500 m", "4921 ft"),
        (12.6, "V", "voltage", "", "12.6 V", "12.6 V"),
        (float("inf"), "ohm", "resistance", "", "OL", "OL"),
        (12000.0, "ohm", "resistance", "", "12000 ohm", "12000 ohm"),
    ],
)
def test_display_by_preference(
    value: float, unit: str, quantity: str, reference: str, metric: str, us: str
) -> None:
    assert show(value, unit, quantity, "metric", reference) == metric
    assert show(value, unit, quantity, "us", reference) == us
