"""What a sixth random hundred found, held for its likes in the whole book (common practice, no source)."""

from __future__ import annotations

import re

import pytest

from helpers_shipped import shipped_book

BENEATH = re.compile(r"\b(below|beneath|under the ((front|rear) (of|or)|vehicle\b))\b", re.IGNORECASE)
SENTENCE = re.compile(r"(?<=[.;:]) ")
MEASURED = re.compile(r"\b(measure|measured|the drop|voltage drop|charging voltage)\b", re.IGNORECASE)
JUDGED = re.compile(r"\d|[;:,(] |\bmust\b|\bas before\b|\bholds\b")


def test_places_reached_from_beneath_warn_of_stands() -> None:
    """A place that says "from below" or "from beneath" has the caution on stands."""
    places = shipped_book().words.access
    beneath = [name for name, place in places.items() if BENEATH.search(place.title)]
    assert len(beneath) >= 4
    assert [name for name in beneath if "on-stands" not in places[name].cautions] == []


def test_a_test_light_in_the_steps_is_among_the_tools() -> None:
    """Who reads the tools has all at hand that the steps name, unless they say "at hand"."""
    untold = [
        (inspection.id, sentence)
        for inspection in shipped_book().inspections.values()
        for step in (*inspection.steps, inspection.leads or "")
        for sentence in SENTENCE.split(step)
        if "test light" in sentence and "at hand" not in step and "test-light" not in inspection.tools
    ]
    assert untold == []


def test_what_is_measured_after_a_repair_is_judged() -> None:
    """A measurement that is to prove a repair says what is good."""
    bare = [
        (cause.id, said)
        for cause in shipped_book().causes.values()
        for said in cause.after_repair
        if MEASURED.search(said) and not JUDGED.search(said) and not said.startswith("Repeat the")
    ]
    assert bare == []


@pytest.mark.parametrize("absolute", [105.0, 115.0, 120.0])
def test_a_one_bar_sensor_at_its_top_is_not_only_drifted(absolute: float) -> None:
    """The data sheet of the MPX4115A ends at 115 kPa: a wire on its supply reads so, not 80 above the air."""
    book = shipped_book()
    reading = book.inspections["map-key-on-against-barometer"].reading
    assert reading is not None
    above = absolute - 84.0  # at 1,500 m, ISO 2533
    assert above < 80.0
    high = book.rules["map-key-on-against-barometer=reads-high"].weights
    assert high["map-signal-shorted-to-supply"] > high["map-sensor-drifted"]
    assert high["map-ground-open"] > high["map-sensor-drifted"]
