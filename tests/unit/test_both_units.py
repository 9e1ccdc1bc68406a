"""Figures in prose are said in both systems of units, from the one that was written."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from helpers_shipped import shipped_book
from proveout.measure.both import in_both
from proveout.measure.display import scale_of
from proveout.model.entries import Inspection

#: A metric figure of the kinds that people in the United States do not read. A few litres count as quarts.
_ALONE = re.compile(
    r"(?:[1-9]|[1-9]0+|0 °C) ?(?:kPa|°C|km/h|km|mm)(?![\w/])(?!(?: \w+){0,2} ?\(|,? or |, -?\d)"
)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Stop at 60 kPa of vacuum.", "Stop at 60 kPa (18 inHg) of vacuum."),
        ("Never above 100 kPa.", "Never above 100 kPa (15 psi)."),
        ("Pump slowly to -2.5 kPa and wait.", "Pump slowly to -2.5 kPa (-10 inH2O) and wait."),
        ("Above 5 degC.", "Above 5 °C (41 °F)."),
        ("All within about 5 degC.", "All within about 5 °C (9 °F)."),
        ("10 degC or more apart", "10 °C (18 °F) or more apart"),
        ("shows 10 to 30 degC too little", "shows 10 to 30 °C (18 to 54 °F) too little"),
        ("10 to 25 degC below its coolant", "10 to 25 °C (18 to 45 °F) below its coolant"),
        ("below 5 degC", "below 5 °C (41 °F)"),
        ("hotter by 20 degC", "hotter by 20 °C (36 °F)"),
        ("at -40 and 215 degC", "at -40 and 215 °C (-40 and 419 °F)"),
        ("a hole of 0.5 mm", "a hole of 0.5 mm (0.020 in)"),
        ("after 1,500 km or so", "after 1,500 km (930 miles) or so"),
        ("Pump 20, 40 and 60 kPa", "Pump 20, 40 and 60 kPa (2.9, 5.8 and 8.7 psi)"),
        ("within 80,000 miles", "within 80,000 miles (130,000 km)"),
        ("mild air (10 to 30 degC)", "mild air (10 to 30 °C, 50 to 86 °F)"),
        ("a rail at 50 psi", "a rail at 50 psi (340 kPa)"),
        ("as a shop writes it, 80 °C", "as a shop writes it, 80 °C (176 °F)"),
        ("an author's own, 80 to 90 degC (175 to 195 degF)", "an author's own, 80 to 90 °C (175 to 195 °F)"),
    ],
)
def test_the_other_system_is_said_besides(written: str, said: str) -> None:
    """Factors: NIST SP 811 by way of pint; temperatures that are differences have no offset."""
    assert in_both(written) == said


@pytest.mark.parametrize(
    "text",
    [
        "Stop at 60 kPa of vacuum (18 inHg).",
        "about a 1 mm (0.040 in) hole",
        "a 2.0 litre engine",
        "0 kPa if no vacuum builds",
        "between 11.5 and 14.7 V",
        "P0117 at 2,500 rpm",
        "10 kPa (1 inHg each 1,000 ft)",
    ],
)
def test_what_is_said_already_or_needs_no_other_stays(text: str) -> None:
    """An author's own figure beside it is kept, and nothing is said twice."""
    assert in_both(text) == text
    assert in_both(in_both(text)) == text


def test_saying_it_again_changes_nothing() -> None:
    """What has both needs nothing more, so that a text may pass twice."""
    once = in_both("Warm to 80 degC, pump to 50 kPa of vacuum, drive 20 km at 80 km/h.")
    assert in_both(once) == once
    assert "176 °F" in once and "15 inHg" in once and "12 miles" in once and "50 mph" in once


def test_no_step_or_caution_of_the_book_speaks_metric_alone() -> None:
    """All prose that somebody follows under a car has both."""
    book = shipped_book()
    told = [
        (name, text)
        for name, one in book.inspections.items()
        for text in (
            *one.steps,
            one.leads,
            one.damage_limit,
            *one.false_readings,
            *(r.means for r in one.results),
        )
    ]
    told += [(n, t) for n, cause in book.causes.items() for t in (*cause.remedy.notes, *cause.after_repair)]
    told += [(name, caution.text) for name, caution in book.words.cautions.items()]
    alone = [(name, found[0], text) for name, text in told if (found := _ALONE.search(text))]
    assert alone == []


def test_degrees_are_shown_by_their_sign_everywhere() -> None:
    """``degC`` is what a keyboard without the sign types; the book's prose, sources and limits showed it."""
    book = shipped_book()
    shown = [text for one in book.inspections.values() for text in _texts(one)]
    shown += [text for cause in book.causes.values() for text in (cause.title, *cause.remedy.notes)]
    shown += [text for one in book.words.cautions.values() for text in (one.title, one.text, one.source)]
    shown += [text for rule in book.rules.values() for text in (rule.because, rule.source)]
    shown += [text for code in book.words.codes.values() for text in (code.meaning, code.does_not_mean)]
    assert [text for text in shown if re.search(r"\bdeg[CF]\b", text)] == []
    assert len([text for text in shown if "°C" in text]) > 50


def _texts(one: Inspection) -> Iterator[str]:
    """Return what a page of an inspection says: title, steps, limits, traps, sources."""
    yield from (one.title, one.leads, one.damage_limit, one.source, *one.steps, *one.false_readings)
    if one.reading is not None:
        yield from (one.reading.limits_source, scale_of(one.reading).symbol)
