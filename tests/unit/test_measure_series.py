"""Stimulus-response series: fault classes, figures, the band to draw, and what is refused."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from msgspec.structs import replace

from proveout.measure.judging import Judged, judge
from proveout.measure.points import read_series
from proveout.measure.response import directions, respond
from proveout.model.atom import CANNOT_TELL
from proveout.model.problem import BadInputError
from proveout.model.specs import ReadingSpec, SeriesSpec

CLASSES = ("good", "biased", "stuck", "stuck-low", "stuck-high", "noisy", "reversed", "hysteresis")
RULES = SeriesSpec(
    stimulus_quantity="pressure",
    stimulus_unit="kPa",
    stimulus_relative_to="atmosphere",
    at_least=4,
    direction="falls",
    span=0.3,
    noise=0.08,
    repeat=0.12,
    classes={name: name for name in CLASSES},
    start=(2.3, 2.7),
    low_end=0.5,
    high_end=4.5,
)
SPEC = ReadingSpec("voltage", "V", possible=(0.0, 5.5), series=RULES)


def series(vacuums: Sequence[float], volts: Sequence[float]) -> list[tuple[str, str]]:
    return [(f"-{x} kPa" if x else "0", f"{y} V") for x, y in zip(vacuums, volts, strict=True)]


def judged(vacuums: Sequence[float], volts: Sequence[float], **more: str) -> Judged:
    return judge(SPEC, series=series(vacuums, volts), **more)  # type: ignore[arg-type]


UP = (0.0, 0.5, 1.0, 1.5)
UP_AND_DOWN = (0.0, 0.6, 1.2, 1.8, 1.2, 0.6, 0.0)


@pytest.mark.parametrize(
    ("vacuums", "volts", "fault"),
    [
        (UP, (2.5, 2.2, 1.8, 1.6), "good"),
        ((0.0, 0.4, 1.0, 1.3), (2.5, 2.2, 1.8, 1.6), "good"),
        (UP, (2.5, 2.2, 1.95, 1.6), "good"),
        (UP_AND_DOWN, (2.5, 2.28, 2.05, 1.82, 2.06, 2.27, 2.5), "good"),
        (UP, (3.1, 2.8, 2.4, 2.2), "biased"),
        (UP, (1.9, 1.6, 1.2, 1.0), "biased"),
        (UP, (2.5, 2.5, 2.49, 2.5), "stuck"),
        (UP, (2.5, 2.48, 2.46, 2.45), "stuck"),
        (UP, (0.02, 0.02, 0.03, 0.02), "stuck-low"),
        (UP, (5.0, 5.0, 4.99, 5.0), "stuck-high"),
        (UP, (2.5, 2.8, 3.2, 3.4), "reversed"),
        (UP_AND_DOWN, (2.5, 1.9, 2.4, 1.5, 2.3, 1.8, 2.6), "noisy"),
        (UP_AND_DOWN, (2.5, 2.28, 0.1, 1.82, 2.06, 2.27, 2.5), "noisy"),
        (UP_AND_DOWN, (2.5, 2.28, 2.05, 1.82, 2.36, 2.57, 2.8), "hysteresis"),
        (UP_AND_DOWN, (2.5, 2.28, 2.05, 1.82, 1.75, 1.98, 2.48), "hysteresis"),
    ],
)
def test_fault_classes(vacuums: Sequence[float], volts: Sequence[float], fault: str) -> None:
    assert judged(vacuums, volts).decided == fault


def test_the_series_of_common_practice_is_good_without_any_vacuum_figure() -> None:
    """2.5, 2.2, 1.8, 1.6 V under growing light vacuum is a good sensor: common practice, no source."""
    for text in (
        "2.5, 2.2, 1.8, 1.6 V",
        "2.5 2.2 1.8 1.6",
        "2.5 V; 2.2 V; 1.8 V; 1.6 V",
        "2,5 2,2 1,8 1,6 V",
    ):
        told = judge(SPEC, value=text)
        assert told.decided == "good"
        assert any("equal steps" in note for note in told.notes)


def test_sign_and_unit_of_the_stimulus_do_not_matter() -> None:
    one = judge(SPEC, series=[("0", "2.5 V"), ("0.5", "2.2"), ("1.0 kPa", "1.8"), ("1.5 kPa", "1.6")])
    other = judge(
        SPEC, series=[("0", "2500 mV"), ("2 inH2O vac", "2200 mV"), ("-4 inH2O", "1.8"), ("-6 inH2O", "1.6")]
    )
    assert one.decided == other.decided == "good"


def test_near_a_limit_the_classes_are_mixed() -> None:
    told = judged(UP, (2.295, 2.0, 1.6, 1.4))
    weights = dict(told.states)
    assert set(weights) == {"good", "biased"}
    assert sum(weights.values()) == pytest.approx(1.0)
    assert any("near a limit" in note for note in told.notes)


def test_a_better_meter_decides_it() -> None:
    assert judged(UP, (2.25, 1.95, 1.57, 1.35), instrument="0.02% + 2 counts of 0.001 V").decided == "biased"


def test_figures() -> None:
    told = judged((0.0, 0.5, 1.0, 1.5, 2.0), (2.5, 2.3, 2.1, 1.9, 1.7))
    figures = {figure.name: figure for figure in told.derived}
    assert figures["gain"].value == pytest.approx(-0.4)
    assert figures["gain"].unit == "V per kPa"
    assert figures["response at zero stimulus"].value == pytest.approx(2.5)
    assert figures["change over the series"].value == pytest.approx(-0.8)
    assert figures["noise about the law"].value == pytest.approx(0.0, abs=1e-9)
    assert figures["drop-outs"].value == 0.0
    assert all(figure.uncertainty >= 0.0 for figure in told.derived)


def test_hysteresis_is_measured() -> None:
    told = judged(UP_AND_DOWN, (2.5, 2.28, 2.05, 1.82, 2.35, 2.58, 2.8))
    assert {f.name: f.value for f in told.derived}["hysteresis"] == pytest.approx(0.3, abs=0.02)


def test_drop_outs_are_named() -> None:
    told = judged(UP_AND_DOWN, (2.5, 2.28, 0.1, 1.82, 2.06, 2.27, 2.5))
    assert told.study is not None
    assert [point.drop_out for point in told.study.points] == [False, False, True, False, False, False, False]
    assert any("1 of 7" in note for note in told.notes)


def test_what_is_to_be_drawn() -> None:
    study = judged(UP, (2.5, 2.3, 2.1, 1.9)).study
    assert study is not None
    assert [(point.stimulus, point.response) for point in study.points] == [
        (-x or 0.0, y) for x, y in zip(UP, (2.5, 2.3, 2.1, 1.9), strict=True)
    ]
    assert (study.stimulus_unit, study.response_unit, study.start) == ("kPa", "V", (2.3, 2.7))
    assert study.band[0] == pytest.approx((0.0, 2.34, 2.5, 2.66))
    assert study.band[-1] == pytest.approx((-1.5, 1.74, 1.9, 2.06))


@pytest.mark.parametrize(
    ("pairs", "check"),
    [
        ([("0", "2.5 V"), ("1", "2.2 V"), ("2", "1.9 V")], "too-few-points"),
        ([("1", "2.5 V"), ("1", "2.2 V"), ("1", "1.9 V"), ("1", "1.6 V")], "too-few-points"),
        ([("0", "2.5 V"), ("1", "2.2 V"), ("2", "1.9 V"), ("3", "OL")], "over-range"),
        ([("0", "2.5 V"), ("1", "2.2 V"), ("2", "1.9 V"), ("3", "9 V")], "not-possible"),
        ([("0", "2.5 V"), ("1", "2.2 V"), ("2", "1.9 V"), ("3 V", "1.6 V")], "wrong-dimension"),
        ([("0", "2.5 V"), ("1", "2.2 V"), ("", "1.9 V"), ("3", "1.6 V")], "unreadable-value"),
        ([("101 kPa abs", "2.5 V"), ("1", "2.2 V"), ("2", "1.9 V"), ("3", "1.6 V")], "barometer-needed"),
        ([("0", "2.5 V"), ("1", "2.2 V"), ("2", "1.9 V"), ("-200 kPa", "1.6 V")], "not-possible"),
        ([], "unreadable-value"),
    ],
)
def test_refused(pairs: list[tuple[str, str]], check: str) -> None:
    with pytest.raises(BadInputError) as error:
        judge(SPEC, series=pairs)
    assert error.value.problems[0].check == check


@pytest.mark.parametrize(
    ("text", "pairs"),
    [
        ("0 kPa: 2.5 V; 1 kPa: 2.2 V", (("0 kPa", "2.5 V"), ("1 kPa", "2.2 V"))),
        ("0=2.5;1=2.2", (("0", "2.5"), ("1", "2.2"))),
        ("0 -> 2.5 V; -1 -> 2.2 V", (("0", "2.5 V"), ("-1", "2.2 V"))),
        ("2.5 2.2 1.8 V", (("", "2.5 V"), ("", "2.2 V"), ("", "1.8 V"))),
        ("2,5, 2,2, 1,8", (("", "2,5"), ("", "2,2"), ("", "1,8"))),
        ("0: 2.5 V", (("0", "2.5 V"),)),
    ],
)
def test_a_series_in_one_text(text: str, pairs: tuple[tuple[str, str], ...]) -> None:
    assert read_series(text) == pairs


def test_missing_classes_fall_to_their_neighbours() -> None:
    few = {"good": "follows", "biased": "offset", "stuck": "stuck", "noisy": "noisy", "reversed": "reversed"}
    spec = replace(SPEC, series=replace(RULES, classes=few))
    stuck = [(x, "0.02 V") for x in ("0", "0.5", "1", "1.5")]
    loop = series(UP_AND_DOWN, (2.5, 2.28, 2.05, 1.82, 2.36, 2.57, 2.8))
    assert judge(spec, series=stuck).decided == "stuck"
    assert judge(spec, series=loop).decided == "noisy"
    without = replace(SPEC, series=replace(RULES, classes={"good": "follows"}))
    assert judge(without, series=stuck).states == ((CANNOT_TELL, 1.0),)


def test_a_measured_supply_scales_the_series() -> None:
    """At a supply of 4.3 V a good sensor starts at 2.15 V; read against 5 V it would be biased."""
    pairs = series(UP, (2.15, 1.9, 1.55, 1.38))
    assert judge(SPEC, series=pairs).decided == "biased"
    assert judge(replace(SPEC, supply=5.0), series=pairs, conditions=("supply 4.30 V",)).decided == "good"


def test_rising_sensors() -> None:
    spec = replace(SPEC, series=replace(RULES, direction="rises", start=(0.3, 0.9)))
    pairs = [("0", "0.6 V"), ("50 kPa", "1.6 V"), ("100 kPa", "2.6 V"), ("150 kPa", "3.6 V")]
    assert judge(spec, series=pairs).decided == "good"
    assert judge(spec, series=[(x, f"{4.2 - float(y[:3])} V") for x, y in pairs]).decided == "reversed"


def test_thermistor_law() -> None:
    """A 10 kohm NTC of Beta 3950 K follows; one with a bad joint in the hot half does not."""
    rules = SeriesSpec(
        "temperature",
        "degC",
        "",
        4,
        "falls",
        1000.0,
        600.0,
        800.0,
        RULES.classes,
        (28e3, 38e3),
        law="thermistor",
    )
    spec = ReadingSpec("resistance", "ohm", series=rules, possible=(0.0, None))
    good = [("0 C", "33.6k"), ("20 C", "12.5k"), ("40 C", "5.30k"), ("60 C", "2.49k"), ("80 C", "1270 ohm")]
    assert judge(spec, series=good).decided == "good"
    bad = [*good[:2], ("40 C", "9.9k"), ("60 C", "2.49k"), ("80 C", "5k")]
    assert judge(spec, series=bad).decided == "noisy"


def test_decay_law_gives_the_root_rate() -> None:
    """A tank that loses vacuum through a hole: the root of the vacuum falls in proportion to time."""
    leak = {"good": "leaks", "stuck": "holds", "reversed": "gains"}
    rules = SeriesSpec("time", "s", "", 4, "rises", 300.0, 60.0, 100.0, leak, law="decay")
    spec = ReadingSpec("pressure", "Pa", "atmosphere", series=rules, possible=(-8000.0, 2000.0))
    leaks = [(f"{t} s", f"{-((49.91 - 0.1985 * t) ** 2):.0f} Pa") for t in (0, 30, 60, 90, 120)]
    assert judge(spec, series=leaks).decided == "leaks"
    assert judge(spec, series=[(f"{t} s", "-2490 Pa") for t in (0, 30, 60, 90)]).decided == "holds"
    figures = {figure.name: figure.value for figure in judge(spec, series=leaks).derived}
    assert figures["gain"] == pytest.approx(0.1985, rel=1e-3)


def test_directions() -> None:
    assert directions((0.0, 1.0, 2.0, 1.0, 1.0, 0.0)) == (1, 1, 1, -1, -1, -1)
    assert directions((0.0, 0.0, 1.0)) == (1, 1, 1)
    assert directions((2.0, 1.0, 0.0)) == (-1, -1, -1)


def test_a_robust_gain_ignores_one_wild_point() -> None:
    seen = respond((0.0, 1.0, 2.0, 3.0, 4.0, 5.0), (1.0, 2.0, 3.0, 90.0, 5.0, 6.0), "line", 0.1, 0.01)
    assert (seen.gain, seen.offset) == pytest.approx((1.0, 1.0))
    assert seen.wild == (3,)
