"""No text, unit, number or instrument makes a reading crash; complaints are located and say what to do."""

from __future__ import annotations

import math

from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from proveout.measure.barometer import read_barometer
from proveout.measure.compute import compute
from proveout.measure.judging import judge
from proveout.measure.points import read_series
from proveout.measure.reading import read
from proveout.measure.specification import read_instrument
from proveout.measure.units import dimensions_of, quantities, symbols_of
from proveout.model.problem import BadInputError, Place
from proveout.model.specs import Band, ReadingSpec, SeriesSpec
from proveout.physics.registry import FORMULAS

PLACE = Place("case.yaml", 4, 9)

QUANTITIES = sorted(q for q in quantities() if q != "count")
PIECES = st.sampled_from(
    r"""2.5 12 4k7 1e3 - + .. , . / V ohm k M inHg "Hg psi kPa abs vac g a % < > OL to e E 1/2 : ; C u m in
    H2O 0 999999999 =""".split()
    + list(" \u2212\u2013\u03a9\u00b1\u00bd\u00b0\u00b5\u221e\x00\u0663")
)
TEXTS = st.one_of(st.text(max_size=30), st.lists(PIECES, max_size=7).map("".join))

SERIES = ReadingSpec(
    "voltage",
    "V",
    "",
    (),
    (0.0, 5.5),
    SeriesSpec(
        "pressure", "kPa", "atmosphere", 3, "falls", 0.3, 0.08, 0.12,
        {name: name for name in ("good", "biased", "stuck", "noisy", "reversed", "hysteresis")}, (2.3, 2.7),
    ),
)  # fmt: skip


def complained(error: BadInputError) -> None:
    (problem,) = error.problems
    assert problem.place == PLACE
    assert problem.saw
    assert problem.check


@settings(max_examples=400, deadline=None)
@given(TEXTS, st.sampled_from(QUANTITIES))
@example("1e", "voltage")
@example("1" * 119, "resistance")
@example("1-1/0", "length")
@example("1e-400", "voltage")
@example("\u00b1", "voltage")
@example("5 \u00b1", "voltage")
@example("..", "voltage")
@example("-..-", "voltage")
def test_any_text_is_read_or_refused(text: str, quantity: str) -> None:
    unit = symbols_of(quantity)[0]
    try:
        reading = read(text, quantity, unit, "atmosphere" if quantity == "pressure" else "", PLACE)
    except BadInputError as error:
        complained(error)
        return
    assert reading.low <= reading.high
    assert not math.isnan(reading.middle) or reading.one_sided


@settings(max_examples=200, deadline=None)
@given(TEXTS, TEXTS, st.lists(TEXTS, max_size=2))
def test_any_text_is_judged_or_refused(text: str, instrument: str, conditions: list[str]) -> None:
    spec = ReadingSpec("voltage", "V", "", (Band("low", None, 2.0), Band("high")), (0.0, 16.0), supply=5.0)
    try:
        judged = judge(spec, value=text, instrument=instrument, conditions=conditions, place=PLACE)
    except BadInputError as error:
        complained(error)
        return
    assert {state for state, _ in judged.states} <= {"low", "high"}
    assert math.isclose(sum(weight for _, weight in judged.states), 1.0)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(TEXTS, TEXTS), max_size=5), TEXTS)
def test_any_series_is_judged_or_refused(pairs: list[tuple[str, str]], text: str) -> None:
    for keywords in ({"series": pairs}, {"value": text}):
        try:
            judged = judge(SERIES, place=PLACE, **keywords)
        except BadInputError as error:
            complained(error)
        else:
            assert math.isclose(sum(weight for _, weight in judged.states), 1.0)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.floats(0.0, 5.5), min_size=3, max_size=9), st.data())
def test_any_numbers_make_a_series(volts: list[float], data: st.DataObject) -> None:
    """Degenerate series too: all alike, two stimuli only, huge steps."""
    steps = st.sampled_from([0.0, -0.5, -1.0, -50.0, 1e-6, 3.0])
    stimuli = data.draw(st.lists(steps, min_size=len(volts), max_size=len(volts)))
    pairs = [(f"{x} kPa", f"{y!r} V") for x, y in zip(stimuli, volts, strict=True)]
    assert SERIES.series is not None
    law = data.draw(st.sampled_from(["line", "thermistor", "decay"]))
    spec = replace(SERIES, series=replace(SERIES.series, law=law))
    try:
        judged = judge(spec, series=pairs, place=PLACE)
    except BadInputError as error:
        complained(error)
        return
    assert math.isclose(sum(weight for _, weight in judged.states), 1.0)
    assert judged.study is not None
    assert len(judged.study.points) == len(volts)


@settings(max_examples=150, deadline=None)
@given(TEXTS, st.sampled_from(QUANTITIES))
def test_any_instrument_or_barometer(text: str, quantity: str) -> None:
    unit = symbols_of(quantity)[0]
    for call in (
        lambda: read_instrument(text, quantity, unit, 1.0, PLACE),
        lambda: read_barometer(text, PLACE),
        lambda: read_series(text, PLACE),
    ):
        try:
            call()
        except BadInputError as error:
            complained(error)


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(sorted(FORMULAS)), st.data())
def test_any_argument_of_a_formula(name: str, data: st.DataObject) -> None:
    numbers = st.sampled_from(
        ["0", "1", "-1", "1e-9", "1e9", "5..6", "0.45", "20", "100", "OL", "3, 4", "-40"]
    )
    arguments = {p.name: data.draw(st.one_of(numbers, TEXTS)) for p in FORMULAS[name].parameters}
    try:
        answers = compute(name, arguments, PLACE)
    except BadInputError as error:
        complained(error)
        return
    assert len(answers) == len(FORMULAS[name].results)
    assert not any(isinstance(a.value, float) and math.isnan(a.value) for a in answers)


def test_every_quantity_has_units() -> None:
    for quantity in quantities():
        assert dimensions_of(quantity)
        assert symbols_of(quantity)
