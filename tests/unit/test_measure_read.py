"""Text to quantities: what technicians type, and what is refused."""

from __future__ import annotations

import math

import pytest

from proveout.measure.reading import read
from proveout.model.problem import BadInputError, Place

KPA_IN_HG = 3.386388640341  # kPa per inHg, as pint has it; checked against NIST in tests/published

TYPED = [
    # text, quantity, unit asked for, value
    ("2.5V", "voltage", "V", 2.5),
    ("2,5 V", "voltage", "V", 2.5),
    ("-0.02", "voltage", "V", -0.02),
    ("1e3", "resistance", "ohm", 1000.0),
    ("1.5E-3 V", "voltage", "V", 0.0015),
    ("+5", "voltage", "V", 5.0),
    (".5 V", "voltage", "V", 0.5),
    ("12.", "voltage", "V", 12.0),
    ("12.6 V,", "voltage", "V", 12.6),
    ("2V5", "voltage", "V", 2.5),
    ("450 mV", "voltage", "V", 0.45),
    ("2300mV", "voltage", "V", 2.3),
    ("12.6 volts DC", "voltage", "V", 12.6),
    ("12k", "resistance", "ohm", 12000.0),
    ("4k7", "resistance", "ohm", 4700.0),
    ("4K7", "resistance", "ohm", 4700.0),
    ("2R2", "resistance", "ohm", 2.2),
    ("1M5", "resistance", "ohm", 1.5e6),
    ("22 \u03a9", "resistance", "ohm", 22.0),
    ("22 \u2126", "resistance", "ohm", 22.0),
    ("1.2 k\u03a9", "resistance", "ohm", 1200.0),
    ("300 mohm", "resistance", "ohm", 0.3),
    ("2 Mohm", "resistance", "ohm", 2e6),
    ("2 MOHM", "resistance", "ohm", 2e6),
    ("120 ohms", "resistance", "ohm", 120.0),
    ("50 \u00b5A", "current", "A", 50e-6),
    ("50 \u03bcA", "current", "A", 50e-6),
    ("250 mA", "current", "A", 0.25),
    ("\u221220 \u00b0C", "temperature", "degC", -20.0),
    ("\u22125 \u00baC", "temperature", "degC", -5.0),
    ("20\u2103", "temperature", "degC", 20.0),
    ("212 \u00b0F", "temperature", "degC", 100.0),
    ("212F", "temperature", "degC", 100.0),
    ("300 K", "temperature", "degC", 26.85),
    ("3/16 in", "length", "mm", 4.7625),
    ("1 1/2 in", "length", "mm", 38.1),
    ("1-1/2 in", "length", "mm", 38.1),
    ("1\u00bd\u2033", "length", "mm", 38.1),
    ('3/16"', "length", "mm", 4.7625),
    ("44 thou", "length", "mm", 1.1176),
    ("35 psi", "pressure", "psi", 35.0),
    ("-20 inHg", "pressure", "kPa", -20 * KPA_IN_HG),
    ('-18"Hg', "pressure", "kPa", -18 * KPA_IN_HG),
    ("-18 in. Hg", "pressure", "kPa", -18 * KPA_IN_HG),
    ("18 inHg vac", "pressure", "kPa", -18 * KPA_IN_HG),
    ("-18 inHg vac", "pressure", "kPa", -18 * KPA_IN_HG),
    ("vac 18 inHg", "pressure", "kPa", -18 * KPA_IN_HG),
    ("10 inH2O", "pressure", "Pa", 2490.889),
    ('10" H2O', "pressure", "Pa", 2490.889),
    ("10 inH\u2082O", "pressure", "Pa", 2490.889),
    ("10 in WC", "pressure", "Pa", 2490.889),
    ("250 kpa", "pressure", "kPa", 250.0),
    ("1000 hPa", "pressure", "kPa", 100.0),
    ("1 bar", "pressure", "kPa", 100.0),
    ("30%", "duty", "%", 30.0),
    ("+12,5 %", "ratio", "%", 12.5),
    ("1.02", "ratio", "1", 1.02),
    ("750 rpm", "speed", "rpm", 750.0),
    ("60 mph", "speed", "km/h", 96.56064),
    ("7.56 g/s", "flow", "g/s", 7.56),
    ("1 lb/min", "flow", "g/s", 7.559873),
    ("1:30", "time", "s", 90.0),
    ("2 min", "time", "s", 120.0),
    ("3.2 ms", "time", "ms", 3.2),
    ("1234,5", "resistance", "ohm", 1234.5),
    ("0,123", "voltage", "V", 0.123),
    ("1,234,567 ohm", "resistance", "ohm", 1234567.0),
    ("1,234.5 ohm", "resistance", "ohm", 1234.5),
    ("1.234,5 ohm", "resistance", "ohm", 1234.5),
    ("12 000 ohm", "resistance", "ohm", 12000.0),
    ("12\u202f000 ohm", "resistance", "ohm", 12000.0),
    ("\uff12\uff0e\uff15 V", "voltage", "V", 2.5),
]


@pytest.mark.parametrize(("text", "quantity", "unit", "value"), TYPED)
def test_reads_what_is_typed(text: str, quantity: str, unit: str, value: float) -> None:
    reading = read(text, quantity, unit, "atmosphere" if quantity == "pressure" else "")
    assert reading.low == reading.high == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("2.1-2.3 V", 2.1, 2.3),
        ("2.1..2.3 V", 2.1, 2.3),
        ("2.1...2.3", 2.1, 2.3),
        ("2.1\u20132.3 V", 2.1, 2.3),
        ("2.1 \u2026 2.3 V", 2.1, 2.3),
        ("2.1 to 2.3 V", 2.1, 2.3),
        ("2.1V - 2.3V", 2.1, 2.3),
        ("2,1-2,3 V", 2.1, 2.3),
        ("2100 mV..2.3 V", 2.1, 2.3),
        ("2.3-2.1 V", 2.1, 2.3),
        ("-0.2--0.1 V", -0.2, -0.1),
        ("-0.2..0.1 V", -0.2, 0.1),
        ("2.2 \u00b1 0.1 V", 2.1, 2.3),
        ("2.2 +/- 0.1 V", 2.1, 2.3),
        ("> 2.1 V", 2.1, math.inf),
        ("<2.3 V", -math.inf, 2.3),
    ],
)
def test_reads_ranges(text: str, low: float, high: float) -> None:
    reading = read(text, "voltage", "V")
    assert (reading.low, reading.high) == pytest.approx((low, high))


@pytest.mark.parametrize(
    "text",
    [
        "OL",
        "ol",
        "O.L",
        "O.L.",
        "0L",
        "OL ohm",
        "open",
        "\u221e",
        "OL \u03a9",
        "open circuit",
        "no continuity",
    ],
)
def test_open_circuit_is_infinite_ohms(text: str) -> None:
    assert read(text, "resistance", "ohm").low == math.inf


@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("35 psig", "atmosphere"),
        ("35 psi gauge", "atmosphere"),
        ("14.7 psia", "vacuum"),
        ("101 kPa abs", "vacuum"),
        ("101 kPa absolute", "vacuum"),
        ("101 kPa (a)", "vacuum"),
        ("29.92 in Hg (abs)", "vacuum"),
        ("14.7 psi a", "vacuum"),
        ("5 inches Hg (vacuum)", "atmosphere"),
        ("1.0 bara", "vacuum"),
        ("1.0 barg", "atmosphere"),
        ("5 inHg vacuum", "atmosphere"),
        ("101 abs", "vacuum"),
        ("101 kPa", "atmosphere"),
    ],
)
def test_gauge_absolute_and_vacuum_are_kept_apart(text: str, reference: str) -> None:
    assert read(text, "pressure", "kPa", "atmosphere").relative_to == reference


@pytest.mark.parametrize(
    ("text", "quantity", "unit", "check", "word"),
    [
        ("", "voltage", "V", "unreadable-value", "no value"),
        ("abc", "voltage", "V", "unreadable-value", "abc"),
        ("--5", "voltage", "V", "unreadable-value", "5"),
        ("5 psi", "voltage", "V", "wrong-dimension", "voltage"),
        ("5 V", "pressure", "kPa", "wrong-dimension", "pressure"),
        ("750 rpm", "speed", "km/h", "wrong-dimension", "km/h"),
        ("4k7", "pressure", "kPa", "unknown-unit", "k7"),
        ("5 foo", "voltage", "V", "unknown-unit", "foo"),
        ("5 V AC", "voltage", "V", "unknown-unit", "DC"),
        ("5 mpa", "pressure", "kPa", "unknown-unit", "MPa"),
        ("5 MV", "voltage", "V", "unknown-unit", "mV"),
        ("5 volst", "voltage", "V", "unknown-unit", "did you mean `V`"),
        ("1,234 ohm", "resistance", "ohm", "ambiguous-number", "1234 or 1.234"),
        ("12,000", "resistance", "ohm", "ambiguous-number", "12000"),
        ("1,23,4 ohm", "resistance", "ohm", "unreadable-number", "1,23,4"),
        ("1.2.3", "voltage", "V", "unreadable-number", "1.2.3"),
        ("1e999", "voltage", "V", "unreadable-number", "exponent"),
        ("9" * 400, "voltage", "V", "unreadable-value", "characters"),
        ("1/0 in", "length", "mm", "unreadable-number", "1/0"),
        ("OL", "voltage", "V", "over-range", "higher range"),
        ("2 psia..3 psig", "pressure", "psi", "unreadable-value", "mixes"),
        ("nan", "voltage", "V", "unreadable-value", "nan"),
    ],
)
def test_refuses_with_place_and_reason(text: str, quantity: str, unit: str, check: str, word: str) -> None:
    place = Place("case.yaml", 7, 12)
    with pytest.raises(BadInputError) as caught:
        read(text, quantity, unit, "atmosphere" if quantity == "pressure" else "", place)
    (problem,) = caught.value.problems
    assert (problem.check, problem.place) == (check, place)
    assert word in f"{problem.saw} {problem.expected} {problem.mend}"
    assert problem.expected


def test_the_last_written_digit_is_kept() -> None:
    assert read("12.60 V", "voltage", "V").last_place == pytest.approx(0.01)
    assert read("2300 mV", "voltage", "V").last_place == pytest.approx(0.001)
    assert read("3/16 in", "length", "mm").last_place == 0.0
