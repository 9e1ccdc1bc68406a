"""Conversions go back and forth, and a change of unit alone never flips a decision."""

from __future__ import annotations

import math

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from proveout.measure.conform import DROP_BELOW
from proveout.measure.convert import convert
from proveout.measure.judging import judge
from proveout.measure.reading import read
from proveout.measure.units import find_unit, quantities, symbols_of
from proveout.model.problem import BadInputError
from proveout.model.specs import Band, ReadingSpec

QUANTITIES = sorted(q for q in quantities() if q not in ("count", "speed", "frequency", "flow"))

#: What a property is tried over: quantity, unit of the limits, lowest and highest value.
RANGES = [
    ("voltage", "V", -5.0, 16.0),
    ("resistance", "ohm", 0.0, 1e5),
    ("pressure", "kPa", -100.0, 700.0),
    ("temperature", "degC", -40.0, 150.0),
    ("length", "mm", 0.5, 500.0),
    ("time", "s", 0.2, 300.0),
    ("current", "A", -10.0, 30.0),
    ("mass flow", "g/s", 0.0, 300.0),
    ("ratio", "%", -30.0, 100.0),
]


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(QUANTITIES), st.data(), st.floats(-1e6, 1e6))
def test_conversions_round_trip(quantity: str, data: st.DataObject, value: float) -> None:
    symbols = st.sampled_from(symbols_of(quantity))
    one, other = (find_unit(data.draw(symbols), quantity) for _ in range(2))
    back = convert(convert(value, one, other), other, one)
    assert math.isclose(back, value, rel_tol=1e-9, abs_tol=1e-9 * _scale(one.symbol))


def _scale(symbol: str) -> float:
    """Temperatures go through an offset of hundreds of degrees, which costs the smallest digits."""
    return 1000.0 if symbol in ("degC", "degF", "K") else 1e-3


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(RANGES), st.data())
def test_typed_in_another_unit_reads_the_same(
    row: tuple[str, str, float, float], data: st.DataObject
) -> None:
    quantity, unit, low, high = row
    value = data.draw(st.floats(low, high))
    other = find_unit(data.draw(st.sampled_from(symbols_of(quantity))), quantity)
    typed = f"{convert(value, find_unit(unit, quantity), other)!r} {other.symbol}"
    reading = read(typed, quantity, unit, "atmosphere" if quantity == "pressure" else "")
    assert math.isclose(reading.middle, value, rel_tol=1e-9, abs_tol=1e-9)


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(RANGES), st.data())
def test_a_change_of_unit_alone_never_flips_a_decision(
    row: tuple[str, str, float, float], data: st.DataObject
) -> None:
    quantity, unit, low, high = row
    first, second = sorted(data.draw(st.floats(low, high)) for _ in range(2))
    near = st.sampled_from([first, second, 2.0, 20.0, 25.0, 1.0]).map(lambda x: min(max(x, low), high))
    value = data.draw(st.one_of(st.floats(low, high), near))
    reference = "atmosphere" if quantity == "pressure" else ""
    spec = ReadingSpec(
        quantity, unit, reference, (Band("low", None, first), Band("mid", first, second), Band("high"))
    )
    other = find_unit(data.draw(st.sampled_from(symbols_of(quantity))), quantity)
    here = _states(spec, f"{value!r} {unit}")
    there = _states(spec, f"{convert(value, find_unit(unit, quantity), other)!r} {other.symbol}")
    assume(here is not None and there is not None)
    assert here is not None
    assert there is not None
    for result in here.keys() ^ there.keys():  # the only jump there is: a weight of 2 % is dropped or kept
        assert DROP_BELOW <= (here | there)[result] < DROP_BELOW * 1.03
    if here.keys() == there.keys():
        assert all(math.isclose(here[result], there[result], abs_tol=1e-6) for result in here)


def _states(spec: ReadingSpec, typed: str) -> dict[str, float] | None:
    """Judge; None where a bare positive pressure is asked about, which no unit decides."""
    try:
        return dict(judge(spec, value=typed.replace("+", "")).states)
    except BadInputError as error:
        assert error.problems[0].check == "sign-needed", typed
        return None


@settings(max_examples=200, deadline=None)
@given(st.floats(-3.0, 3.0), st.floats(-3.0, 3.0), st.floats(1e-3, 1.0))
def test_farther_from_a_limit_is_surer(one: float, other: float, u: float) -> None:
    spec = ReadingSpec("voltage", "V", "", (Band("low", None, 0.0), Band("high")))

    def high(value: float) -> float:
        return dict(judge(spec, value=f"{value:.9f} V", instrument=f"u = {u:.9f} V").states).get("high", 0.0)

    below, above = sorted((one, other))
    assert high(below) <= high(above) + 1e-9
