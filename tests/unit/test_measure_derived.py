"""Figures derived from a reading: value, uncertainty, what must be stated, and where none is given."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from proveout.measure.judging import judge
from proveout.model.problem import BadInputError, Place
from proveout.model.specs import Band, DerivedSpec, ReadingSpec

DROP = ReadingSpec(
    "voltage",
    "V",
    "",
    (Band("good", None, 0.2), Band("poor")),
    (-20.0, 20.0),
    derived=DerivedSpec("contact-resistance", "drop", {}, ("current",)),
)
DECAY = ReadingSpec(
    "pressure",
    "kPa",
    "atmosphere",
    (Band("holds", 2.0, None), Band("leaks")),
    (-0.5, 3.0),
    derived=DerivedSpec("leak-size", "end", {"start": "2.5 kPa", "seconds": "60 s", "volume": "40 ± 10 L"}),
)


def test_a_drop_and_the_stated_current_give_the_resistance_with_its_uncertainty() -> None:
    judged = judge(DROP, value="0.40 V", instrument="u = 0.01 V", conditions=("current 8 ± 0.2 A",))
    (figure,) = judged.derived
    assert figure.value == pytest.approx(0.05)
    assert (figure.unit, figure.formula) == ("ohm", "contact-resistance")
    # R = U/I: the relative uncertainties add in squares; ± 0.2 A is a rectangular bound.
    expected = 0.05 * math.hypot(0.01 / 0.40, 0.2 / math.sqrt(3.0) / 8.0)
    assert figure.uncertainty == pytest.approx(expected, rel=1e-3)
    assert figure.text() == "Resistance that a loaded drop means: 0.0500 ± 0.0014 ohm"


def test_the_figure_decides_nothing() -> None:
    plain = judge(replace(DROP, derived=None), value="0.21 V")
    assert judge(DROP, value="0.21 V", conditions=("current 8 A",)).states == plain.states


def test_without_what_must_be_stated_there_is_no_figure() -> None:
    assert judge(DROP, value="0.40 V").derived == ()
    assert judge(DROP, value="0.40 V", conditions=("current unknown", "all lamps on")).derived == ()


@pytest.mark.parametrize("text", ["current 8 A", "Current = 8000 mA", "current of 8", "current: 8.0 A"])
def test_ways_to_state_an_input(text: str) -> None:
    assert judge(DROP, value="0.40 V", conditions=(text,)).derived[0].value == pytest.approx(0.05)


def test_a_stated_input_that_measures_something_else_is_refused_where_the_reading_stands() -> None:
    with pytest.raises(BadInputError) as error:
        judge(DROP, value="0.40 V", conditions=("current 8 V",), place=Place("c.yaml", 4, 3))
    (problem,) = error.value.problems
    assert (problem.check, problem.place) == ("wrong-dimension", Place("c.yaml", 4, 3))


def test_a_decay_gives_the_hole_and_the_formulas_own_uncertainty_counts() -> None:
    """From 10 inH2O to half of it in 73.6 s: 0.020 in by Bernoulli, 40 L of vapour space, Cd 0.6."""
    conditions = ("start 10 inH2O", "seconds 73.6 s", "volume 40 L")
    judged = judge(DECAY, value="5 inH2O", instrument="u = 0.0001 kPa", conditions=conditions)
    (figure,) = judged.derived
    assert figure.value == pytest.approx(0.508, abs=0.001)
    assert figure.unit == "mm"
    assert figure.uncertainty == pytest.approx(0.05 * figure.value, rel=0.01)  # Cd is good to 10 %


def test_the_books_figures_are_taken_where_nothing_is_stated() -> None:
    exact = judge(DECAY, value="1.4 kPa", conditions=("volume 40 L",)).derived[0]
    book = judge(DECAY, value="1.4 kPa").derived[0]
    assert book.value == pytest.approx(exact.value)
    assert book.uncertainty > exact.uncertainty


def test_where_the_formula_does_not_hold_a_note_says_so() -> None:
    judged = judge(DECAY, value="2.6 kPa")
    assert judged.decided == "holds"
    assert judged.derived == ()
    assert any("without a decay there is no leak" in note for note in judged.notes)


@pytest.mark.parametrize(("value", "figures"), [("< 0.1", 0), ("0.35..0.45 V", 1)])
def test_one_sided_readings_give_none_and_ranges_one(value: str, figures: int) -> None:
    judged = judge(DROP, value=value, conditions=("current 8 A",))
    assert len(judged.derived) == figures


def test_a_range_widens_the_uncertainty() -> None:
    steady = judge(DROP, value="0.40 V", conditions=("current 8 A",)).derived[0]
    wandering = judge(DROP, value="0.35..0.45 V", conditions=("current 8 A",)).derived[0]
    assert wandering.uncertainty > steady.uncertainty


def test_the_preference_turns_only_the_text() -> None:
    figure = judge(DECAY, value="5 inH2O").derived[0]
    assert figure.text("us").endswith(" in") and figure.text("metric").endswith(" mm")
