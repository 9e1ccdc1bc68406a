"""Instruments: specifications read, error bounds, and the basic meter."""

from __future__ import annotations

import math

import pytest

from proveout.measure.instrument import basic_meter, gauge_span
from proveout.measure.specification import read_instrument
from proveout.model.problem import BadInputError


@pytest.mark.parametrize(
    ("text", "quantity", "unit", "value", "bound"),
    [
        ("0.5% + 2 counts of 0.01 V", "voltage", "V", 12.60, 0.083),
        ("±(0.5 % of reading + 2 x 10 mV)", "voltage", "V", 12.60, 0.083),
        ("+/- 0.5 % rdg + 2 digits at 0.01 V", "voltage", "V", 12.60, 0.083),
        ("0,5% + 2 counts at 0,01 V", "voltage", "V", 12.60, 0.083),
        ("0.9% + 1 count of 0.1 ohm", "resistance", "ohm", 2.3, 0.1207),
        ("class 2.5 of 100 kPa", "pressure", "kPa", 40.0, 2.5),
        ("class 1.6, 60 kPa", "pressure", "kPa", 1.0, 0.96),
        ("1.6 % of 60 kPa", "pressure", "kPa", 40.0, 0.96),
        ("division 1 inHg", "pressure", "kPa", 40.0, 1.693194),
        ("least division of 0.5 kPa", "pressure", "kPa", 4.0, 0.25),
        ("2 %", "voltage", "V", 5.0, 0.1),
        ("±0.05 V", "voltage", "V", 5.0, 0.05),
        ("50 mV", "voltage", "V", 5.0, 0.05),
        ("u = 0.02 V", "voltage", "V", 5.0, 0.02 * math.sqrt(3.0)),
        ("±2 °C", "temperature", "degF", 200.0, 3.6),
    ],
)
def test_specifications(text: str, quantity: str, unit: str, value: float, bound: float) -> None:
    assert read_instrument(text, quantity, unit, abs(value)).bound(value) == pytest.approx(bound, rel=1e-5)


def test_a_count_without_value_is_the_last_digit_read() -> None:
    meter = read_instrument("0.5% + 2", "voltage", "V", 12.6)
    assert meter.resolved(0.01).bound(12.60) == pytest.approx(0.083)
    assert meter.resolved(0.1).bound(12.6) == pytest.approx(0.263)


def test_a_name_means_the_basic_meter() -> None:
    named = read_instrument("the yellow one", "voltage", "V", 5.0)
    assert named.bound(5.0) == basic_meter("voltage", "V", 5.0).bound(5.0)
    assert "the yellow one" in named.name


@pytest.mark.parametrize(
    ("quantity", "unit", "step"),
    [
        ("flow", "g/s", 0.01),
        ("pressure", "kPa", 1.0),
        ("ratio", "%", 0.8),
        ("temperature", "degF", 1.8),
        ("time", "s", 0.3),
    ],
)
def test_the_vehicles_own_data_is_good_to_a_step(quantity: str, unit: str, step: float) -> None:
    assert read_instrument("scan tool", quantity, unit, 30.0).bound(30.0) == pytest.approx(step)


@pytest.mark.parametrize(
    "text", ["5 %%", "0.5% + two", "class x of 5 kPa", "3 psi", "u = 1 V + 2 %", "5 + 3 furlongs"]
)
def test_figures_that_make_no_specification_are_refused(text: str) -> None:
    with pytest.raises(BadInputError) as error:
        read_instrument(text, "voltage", "V", 5.0)
    assert error.value.problems[0].check == "unreadable-instrument"


@pytest.mark.parametrize(
    ("quantity", "unit", "size", "bound"),
    [
        ("voltage", "V", 5.0, 0.5 / 100 * 5 + 2 * 0.01),
        ("voltage", "V", 0.15, 0.5 / 100 * 0.15 + 2 * 0.0001),
        ("voltage", "mV", 150.0, 0.5 / 100 * 150 + 2 * 0.1),
        ("resistance", "ohm", 2.3, 0.8 / 100 * 2.3 + 3 * 0.1),
        ("resistance", "kohm", 4.7, 0.8 / 100 * 4.7 + 3 * 0.01),
        ("pressure", "kPa", 50.0, 0.025 * 60),
        ("temperature", "degC", 90.0, 2.5),
        ("temperature", "degF", 90.0, 4.5),
        ("time", "s", 60.0, 0.3),
        ("time", "ms", 3.0, 0.13),
        ("length", "mm", 5.0, 0.05),
        ("length", "in", 10.0, 0.5 / 25.4),
        ("duty", "%", 30.0, 1.0),
        ("count", "1", 3.0, 0.0),
    ],
)
def test_basic_meters(quantity: str, unit: str, size: float, bound: float) -> None:
    assert basic_meter(quantity, unit, size).bound(size) == pytest.approx(bound)


@pytest.mark.parametrize(
    ("size", "span"), [(0.9, 1.0), (1.0, 1.0), (1.1, 1.6), (2.49, 2.5), (50, 60), (61, 100), (0, 1e-6)]
)
def test_gauge_spans(size: float, span: float) -> None:
    assert gauge_span(size) == pytest.approx(span)
