"""A reading to results: decided, mixed, refused, and asked about."""

from __future__ import annotations

import math

import pytest

from proveout.measure.barometer import read_barometer
from proveout.measure.judging import judge
from proveout.model.atom import CANNOT_TELL
from proveout.model.problem import BadInputError, Place
from proveout.model.specs import Band, ReadingSpec

SUPPLY = ReadingSpec(
    "voltage",
    "V",
    "",
    (Band("low", None, 4.75), Band("good", 4.75, 5.25), Band("high", 5.25, None)),
    (0.0, 16.0),
)
COIL = ReadingSpec(
    "resistance", "ohm", "", (Band("good", 14.0, 60.0), Band("open", 10e3), Band("bad")), (0.0, None)
)
VACUUM = ReadingSpec(
    "pressure", "kPa", "atmosphere", (Band("holds", None, -40.0), Band("leaks")), (-101.3, 200.0)
)
PULLED = ReadingSpec(
    "pressure", "kPa", "atmosphere", (Band("holds", None, -40.0), Band("leaks")), (-101.3, 5.0)
)
INTAKE = ReadingSpec("pressure", "kPa", "vacuum", (Band("good", 20.0, 45.0), Band("bad")), (0.0, 400.0))


def check_of(error: pytest.ExceptionInfo[BadInputError]) -> str:
    (problem,) = error.value.problems
    return problem.check


@pytest.mark.parametrize(
    ("spec", "text", "result"),
    [
        (SUPPLY, "5.01 V", "good"),
        (SUPPLY, "4.2", "low"),
        (SUPPLY, "12.4 V", "high"),
        (SUPPLY, "-0.02", "low"),
        (SUPPLY, "> 6 V", "high"),
        (SUPPLY, "4.9-5.1 V", "good"),
        (COIL, "OL", "open"),
        (COIL, "22", "good"),
        (COIL, "2R2", "bad"),
        (COIL, "-0.1", "bad"),
        (COIL, "500k", "open"),
        (VACUUM, "-50", "holds"),
        (VACUUM, "-18 inHg", "holds"),
        (VACUUM, "18 inHg vac", "holds"),
        (VACUUM, "-2 inHg", "leaks"),
        (VACUUM, "0", "leaks"),
        (VACUUM, "5 kPa", "leaks"),
        (VACUUM, "20 psi", "leaks"),
    ],
)
def test_decided(spec: ReadingSpec, text: str, result: str) -> None:
    judged = judge(spec, value=text)
    assert judged.states == ((result, 1.0),)
    assert judged.decided == result


def test_on_a_limit_is_half_and_half() -> None:
    judged = judge(SUPPLY, value="4.75 V", instrument="0.5% + 2 counts of 0.01 V")
    assert dict(judged.states) == pytest.approx({"low": 0.5, "good": 0.5}, abs=1e-9)
    assert judged.decided is None
    assert any("limit" in note for note in judged.notes)
    assert judged.needed is None
    assert judged.bound == pytest.approx(0.5 / 100 * 4.75 + 0.02)


def test_weights_are_probabilities_of_conformity() -> None:
    judged = judge(SUPPLY, value="4.72 V", instrument="u = 0.03 V")
    assert dict(judged.states)["low"] == pytest.approx(0.8413447, abs=1e-6)  # Phi(1)
    assert sum(weight for _, weight in judged.states) == pytest.approx(1.0)


def test_small_weights_are_dropped() -> None:
    assert judge(SUPPLY, value="4.68 V", instrument="u = 0.03 V").decided == "low"  # Phi(-2.33) = 0.0099


def test_a_better_meter_decides_and_the_note_says_how_good() -> None:
    judged = judge(SUPPLY, value="4.73 V")
    assert judged.decided is None
    assert any("would decide" in note for note in judged.notes)
    assert judged.needed is not None
    assert 0.0 < judged.needed < judged.bound
    assert judge(SUPPLY, value="4.73 V", instrument=f"{judged.needed:.6f} V").decided == "low"
    assert judge(SUPPLY, value="4.73 V", instrument="0.02% + 2 counts of 0.001 V").decided == "low"


def test_a_wandering_reading_spreads_over_both_sides() -> None:
    states = dict(judge(SUPPLY, value="4.65..4.85 V").states)
    assert states == pytest.approx({"low": 0.5, "good": 0.5}, abs=0.01)


def test_between_limits_tells_nothing() -> None:
    spec = ReadingSpec("voltage", "V", "", (Band("low", None, 1.0), Band("high", 4.0)))
    judged = judge(spec, value="2.5 V")
    assert judged.states == ((CANNOT_TELL, 1.0),)
    assert judged.notes


def test_first_band_that_contains_the_value_wins() -> None:
    spec = ReadingSpec("count", "1", "", (Band("three", 3.0, 3.0), Band("few", 0.0, 5.0), Band("many")))
    assert [judge(spec, value=text).decided for text in ("3", "2", "9")] == ["three", "few", "many"]


@pytest.mark.parametrize(
    ("spec", "text", "check"),
    [
        (SUPPLY, "40 V", "not-possible"),
        (SUPPLY, "-1 V", "not-possible"),
        (COIL, "-5 ohm", "not-possible"),
        (VACUUM, "-31 inHg", "not-possible"),
        (VACUUM, "300 kPa", "not-possible"),
        (INTAKE, "-3 kPa", "not-possible"),
        (SUPPLY, "5 psi", "wrong-dimension"),
        (SUPPLY, "OL", "over-range"),
        (SUPPLY, "< 6 V", "unreadable-value"),
        (SUPPLY, "", "unreadable-value"),
        (VACUUM, "18 inHg", "sign-needed"),
        (INTAKE, "18 inHg", "reference-needed"),
        (INTAKE, "-18 inHg", "reference-needed"),
        (PULLED, '18"Hg', "sign-needed"),
        (PULLED, "180 kPa", "not-possible"),
    ],
)
def test_refused(spec: ReadingSpec, text: str, check: str) -> None:
    with pytest.raises(BadInputError) as error:
        judge(spec, value=text, place=Place("x.yaml", 3, 1))
    assert check_of(error) == check


def test_absolute_zero() -> None:
    spec = ReadingSpec("temperature", "degF", "", (Band("hot", 200.0), Band("cold")))
    assert judge(spec, value="-40 C").decided == "cold"
    with pytest.raises(BadInputError) as error:
        judge(spec, value="-300 C")
    assert check_of(error) == "not-possible"


def test_a_series_for_a_single_value_is_refused() -> None:
    with pytest.raises(BadInputError):
        judge(SUPPLY, series=(("0", "5 V"), ("1", "5 V")))


def test_barometer_is_asked_for_where_it_decides() -> None:
    with pytest.raises(BadInputError) as error:
        judge(VACUUM, value="50 kPa abs")
    assert check_of(error) == "barometer-needed"
    assert "barometer" in error.value.problems[0].mend


def test_barometer_is_not_asked_for_where_it_does_not_matter() -> None:
    judged = judge(VACUUM, value="1 psia")
    assert judged.decided == "holds"
    assert any("altitude" in note for note in judged.notes)


def test_altitude_turns_vacuum_into_absolute() -> None:
    """18 inHg of vacuum at 1500 m is 23.60 kPa absolute (ISO 2533)."""
    judged = judge(INTAKE, value="-18 inHg gauge", barometer=read_barometer("1500 m"))
    assert judged.decided == "good"
    assert "23.6 kPa absolute" in judged.shown


def test_the_same_vacuum_by_a_condition() -> None:
    low = judge(INTAKE, value="-14 inHg gauge", conditions=("idling", "altitude 1500 m"))
    sea = judge(INTAKE, value="-14 inHg gauge", conditions=("barometer 101.3 kPa",))
    assert (low.decided, sea.decided) == ("good", "bad")


@pytest.mark.parametrize(
    ("text", "kilopascal"),
    [("29.92 inHg", 101.32), ("84 kPa", 84.0), ("1000 hPa", 100.0), ("5000 ft", 84.307)],
)
def test_barometer_texts(text: str, kilopascal: float) -> None:
    assert read_barometer(text).value == pytest.approx(kilopascal, abs=0.01)


@pytest.mark.parametrize("text", ["20 kPa", "9000 m", "84 kPa gauge", "3 V", "nonsense"])
def test_barometer_refused(text: str) -> None:
    with pytest.raises(BadInputError):
        read_barometer(text)


def test_a_measured_supply_scales_a_ratiometric_signal() -> None:
    spec = ReadingSpec("voltage", "V", "", (Band("good", 2.3, 2.7), Band("bad")), (0.0, 5.5), supply=5.0)
    assert judge(spec, value="2.15 V").decided == "bad"
    judged = judge(spec, value="2.15 V", conditions=("supply 4.30 V",))
    assert judged.decided == "good"
    assert judged.derived[0].value == pytest.approx(2.5)
    with pytest.raises(BadInputError):
        judge(spec, value="1.0 V", conditions=("supply 2 V",))


def test_shown_names_the_converted_value() -> None:
    assert judge(VACUUM, value="-18 inHg").shown == "-18 inHg (-60.95 kPa)"
    assert judge(SUPPLY, value="5").shown == "5 V"
    assert judge(COIL, value="OL").shown == "OL (open circuit)"
    assert judge(COIL, value="12k").shown == "12k (12000 ohm)"


def test_infinite_reading_has_no_uncertainty() -> None:
    assert math.isfinite(sum(weight for _, weight in judge(COIL, value="OL").states))
