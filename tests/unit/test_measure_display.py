"""Units by preference: texts only, one unit for a reading and all its limits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proveout.measure.display import scale_for, scale_of, show_figure
from proveout.measure.judging import judge
from proveout.model.preference import AS_WRITTEN, METRIC, US
from proveout.model.problem import BadInputError
from proveout.model.specs import Band, ReadingSpec

VACUUM = ReadingSpec(
    "pressure", "kPa", "atmosphere", (Band("holds", None, -40.0), Band("leaks")), (-101.3, 200.0)
)
COOLANT = ReadingSpec("temperature", "degC", "", (Band("good", 80.0, 106.0), Band("off")), (-60.0, 200.0))
SUPPLY = ReadingSpec("voltage", "V", "", (Band("good", 4.75, 5.25), Band("off")), (0.0, 16.0))


@pytest.mark.parametrize(
    ("spec", "value", "display", "shown"),
    [
        (VACUUM, "-18 inHg", AS_WRITTEN, "-18 inHg (-60.95 kPa)"),
        (VACUUM, "-18 inHg", METRIC, "-18 inHg (-60.95 kPa)"),
        (VACUUM, "-18 inHg", US, "-18 inHg"),
        (VACUUM, "-50", US, "-50 kPa (-14.76 inHg)"),
        (VACUUM, "-0.5 bar", US, "-0.5 bar (-14.76 inHg)"),
        (COOLANT, "90", US, "90 °C (194 °F)"),
        (COOLANT, "194 F", METRIC, "194 F (90 °C)"),
        (SUPPLY, "5 V", US, "5 V"),
        (SUPPLY, "5000 mV", US, "5000 mV (5 V)"),
    ],
)
def test_what_was_typed_always_stands_first(spec: ReadingSpec, value: str, display: str, shown: str) -> None:
    assert judge(spec, value=value).said(display) == shown


def test_an_error_bound_is_turned_as_a_difference() -> None:
    """A bound of 2.5 K is 4.5 °F, not 36.5 °F."""
    (note, *_) = judge(COOLANT, value="81 C", instrument="2.5 C").noted(US)
    assert "±4.5 °F" in note


def test_all_limits_of_a_reading_are_shown_in_one_unit() -> None:
    mixed = ReadingSpec("pressure", "kPa", "atmosphere", (Band("low", None, -70.0), Band("good", -4.0, 4.0)))
    scale = scale_of(mixed, US)
    assert (scale.symbol, scale.number(-70.0), scale.number(4.0)) == ("inHg", "-20.67", "1.181")


@pytest.mark.parametrize(
    ("value", "unit", "u", "display", "shown"),
    [
        (0.508, "mm", 0.0254, US, "0.0200 ± 0.0010 in"),
        (100.0, "degC", 5.0, US, "212.0 ± 9.0 °F"),
        (3950.0, "K", 10.0, US, "3950 ± 10 K"),
        (0.3, "V per kPa", 0.0, US, "0.3 V per kPa"),
        (0.05, "ohm", 0.001, METRIC, "0.0500 ± 0.0010 ohm"),
        (0.508, "mm", 0.0254, AS_WRITTEN, "0.508 ± 0.025 mm"),
    ],
)
def test_computed_figures(value: float, unit: str, u: float, display: str, shown: str) -> None:
    assert show_figure(value, unit, u, display) == shown


def test_a_unit_that_nobody_knows_stays() -> None:
    assert scale_for("root kPa per s", 3.0, US).symbol == "root kPa per s"


@given(st.floats(-100.0, 150.0).map(lambda x: round(x, 2)), st.sampled_from(["kPa", "psi", "inHg", "bar"]))
def test_a_preference_turns_texts_and_nothing_of_what_was_judged(value: float, unit: str) -> None:
    typed = f"{value:+} {unit}"
    try:
        judged = judge(VACUUM, value=typed)
    except BadInputError:
        return
    before = (judged.states, judged.bound, judged.needed, judged.derived)
    texts = {display: (judged.said(display), judged.noted(display)) for display in (AS_WRITTEN, METRIC, US)}
    assert all(said.startswith(typed) for said, _ in texts.values())
    assert len({len(notes) for _, notes in texts.values()}) == 1
    assert texts[AS_WRITTEN] == (judged.shown, judged.notes)
    assert (judged.states, judged.bound, judged.needed, judged.derived) == before
