"""What pages tell: all tools are named, stands, covers, rags, what is good (common practice, no source)."""

from __future__ import annotations

import re
from collections.abc import Iterable

import pytest

from helpers_shipped import shipped_book
from proveout.model.atom import RESULT
from proveout.model.rule import Rule

BENEATH = re.compile(r"\b(below|beneath|under the ((front|rear) (of|or)|vehicle\b))\b", re.IGNORECASE)
SENTENCE = re.compile(r"(?<=[.;:]) ")
MEASURED = re.compile(r"\b(measure|measured|the drop|voltage drop|charging voltage)\b", re.IGNORECASE)
JUDGED = re.compile(r"\d|[;:,(] |\bmust\b|\bas before\b|\bholds\b")
COVER = re.compile(r"\b(cam|valve) cover\b")
OPEN = re.compile(r"\{[a-z_]+\}")
LET_DOWN = re.compile(r"\bwheels\b|\blet it down\b", re.IGNORECASE)
PLUGS = re.compile(r"^(the|two|both) (spark )?plugs?$")
TAILPIPE = re.compile(r"\btailpipe\b[^.]*\b(closed|three seconds)\b|\bbefore the tailpipe\b")
DOWN = re.compile(
    r"\b(on its wheels|(let it|vehicle) down|lower(ed)?|down again|stands away|off its stands)\b"
)
METER = re.compile(r"\bmeter on (DC volts|AC volts|ohms)\b", re.IGNORECASE)
STANDING = re.compile(
    r"\b(idle (for|with a dry)|idling,|idles;|engine (idles|running)|run the engine|repeat the (water )?mist"
    r"|strobe|tissue|pumped open)\b",
    re.IGNORECASE,
)
STARTED = re.compile(
    r"(?:^|[.;:,] |\bthen )(?:re)?start (?:it|the engine|cold|hot|twice|three|five|ten|with)\b|\bthen start\b"
    r"|\bover (?:three|five|several) starts\b",
    re.IGNORECASE,
)
ABSENT = re.compile(r"\bor (?:there (?:is|are) no|the (?:vehicle|engine) has no)", re.IGNORECASE)
#: From which weight a result is the part's own fault, and from which it speaks of a cause at all.
OWN, SPOKEN_OF = 0.45, 0.2
CODES = re.compile(r"\b(codes?|read-out|monitors?|lamp|read again)\b", re.IGNORECASE)
METERS = {"multimeter", "clamp-meter", "oscilloscope"}


def test_places_reached_from_beneath_warn_of_stands() -> None:
    """A place that says "from below" or "from beneath" has the caution on stands."""
    places = shipped_book().words.access
    beneath = [name for name, place in places.items() if BENEATH.search(place.title)]
    assert len(beneath) >= 4
    assert [name for name in beneath if "on-stands" not in places[name].cautions] == []


def test_what_is_raised_is_let_down_again() -> None:
    """Whoever works beneath is told to let the vehicle down, after a repair too."""
    book = shipped_book()
    told = {
        cause.id: (cause.remedy.state, (*cause.remedy.notes, *cause.after_repair))
        for cause in book.causes.values()
    }
    told |= {inspection.id: (inspection.state, inspection.steps) for inspection in book.inspections.values()}
    raised = {
        name: " ".join(steps).lower()
        for name, (state, steps) in told.items()
        if state is not None and state.vehicle == "on-stands" and state.beneath
    }
    assert len(raised) > 50
    assert [name for name, said in raised.items() if not DOWN.search(said)] == []


def test_what_is_raised_is_let_down_once() -> None:
    """Two closing steps never say the same thing of a vehicle that was raised."""
    book = shipped_book()
    twice = [i.id for i in book.inspections.values() if sum("down on its wheels, " in s for s in i.steps) > 1]
    twice += [
        c.id for c in book.causes.values() if sum("tools and stands away" in n for n in c.remedy.notes) > 1
    ]
    assert twice == []


def test_who_drives_after_work_from_beneath_lets_the_car_down() -> None:
    """A place that may be reached from beneath leaves the car raised; nobody drives it off its stands."""
    book = shipped_book()
    raised = {name for name, place in book.words.access.items() if "on-stands" in place.cautions}
    driven = {
        name: " ".join(inspection.steps)
        for name, inspection in book.inspections.items()
        if inspection.state
        and inspection.state.engine == "driven"
        and (inspection.state.vehicle == "on-stands" or raised.intersection(inspection.access))
    }
    assert len(driven) >= 5
    assert [name for name, text in driven.items() if not LET_DOWN.search(text)] == []


def test_plugs_that_come_out_are_preceded_by_a_clean_well() -> None:
    """Grit that falls into a cylinder scores it: the caution stands wherever spark plugs are removed."""
    book = shipped_book()
    removed = {
        name: {
            *inspection.cautions,
            *(c for key in inspection.access for c in book.words.access[key].cautions),
        }
        for name, inspection in book.inspections.items()
        if inspection.state and any(PLUGS.search(part) for part in inspection.state.all_of("removed"))
    }
    assert len(removed) >= 6
    assert [name for name, cautions in removed.items() if "plugs-out-and-in" not in cautions] == []


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
    """The data sheet of the MPX4115A ends at 115 kPa: a wire on its supply reads so, and counts as high."""
    book = shipped_book()
    reading = book.inspections["map-key-on-against-barometer"].reading
    assert reading is not None
    above = absolute - 84.6  # the air at 1,500 m, ISO 2533
    results = [
        band.result
        for band in reading.bands
        if (band.low is None or band.low <= above) and (band.high is None or above < band.high)
    ]
    assert results[:1] == ["reads-high"]
    high = book.rules["map-key-on-against-barometer=reads-high"].weights
    assert high["map-signal-shorted-to-supply"] > high["map-sensor-drifted"]
    assert high["map-ground-open"] > high["map-sensor-drifted"]


def test_a_cover_that_was_off_goes_back_on_a_sound_gasket() -> None:
    """An oil leak onto the exhaust is worse than what was looked for."""
    opened = {
        name: " ".join(inspection.steps)
        for name, inspection in shipped_book().inspections.items()
        if inspection.state and any(COVER.search(part) for part in inspection.state.all_of("opened"))
    }
    assert len(opened) >= 3
    assert [name for name, text in opened.items() if not ("gasket" in text and "torque" in text)] == []


def test_a_tailpipe_is_held_by_a_glove_and_a_rag() -> None:
    told = [
        text
        for cause in shipped_book().causes.values()
        for text in cause.after_repair
        if TAILPIPE.search(text)
    ]
    assert told != []
    assert [text for text in told if not ("glove" in text and "rag" in text)] == []


def test_no_word_of_a_pattern_is_left_open() -> None:
    """What a use lays over its pattern is not filled in: "{watch}" there would be read as such."""
    book = shipped_book()
    texts = [
        (name, text)
        for name, inspection in book.inspections.items()
        for text in (*inspection.steps, *inspection.false_readings, inspection.leads or "", inspection.title)
    ]
    texts += [
        (name, text)
        for name, cause in book.causes.items()
        for text in (*cause.after_repair, *cause.remedy.notes, cause.title)
    ]
    assert len(texts) > 1000
    assert [name for name, text in texts if OPEN.search(text)] == []


def test_a_meter_in_the_steps_is_among_the_tools() -> None:
    """Who reads the tools has all at hand that the steps name, unless they say "at hand"."""
    untold = [
        inspection.id
        for inspection in shipped_book().inspections.values()
        for step in inspection.steps
        if METER.search(step) and "at hand" not in step and not METERS.intersection(inspection.tools)
    ]
    assert untold == []


def test_repairs_proved_on_a_standing_engine_are_proved_outdoors() -> None:
    """Who lets the engine run where it stands to prove a repair is told to do so outdoors."""
    book = shipped_book()
    told = {name: " ".join(cause.after_repair) for name, cause in book.causes.items()}
    run = {name: text for name, text in told.items() if STANDING.search(text)}
    assert len(run) > 40
    assert not [name for name, text in run.items() if "outdoors" not in text.lower()]


def test_an_engine_that_is_started_to_prove_a_repair_is_started_outdoors() -> None:
    """Who starts it after a repair is told to do so outdoors, or is at the petrol station anyhow."""
    told = {name: " ".join(cause.after_repair) for name, cause in shipped_book().causes.items()}
    run = {name: text for name, text in told.items() if STARTED.search(text)}
    assert len(run) > 40
    assert [name for name, text in run.items() if "outdoors" not in text.lower()] == ["canister-flooded"]


def others(rules: Iterable[Rule]) -> set[str]:
    """Return the causes that the results of one inspection speak of and that are not its own part's."""
    weights = [rule.weights for rule in rules]
    own = {cause for held in weights for cause, weight in held.items() if weight >= OWN}
    return {cause for held in weights for cause, weight in held.items() if weight >= SPOKEN_OF} - own


def results_of(inspection: str) -> list[Rule]:
    """Return the rules of the results of an inspection of the shipped book."""
    rules = shipped_book().rules.values()
    seen = ((rule, rule.observes) for rule in rules)
    return [rule for rule, atom in seen if atom and atom.kind == RESULT and atom.key == inspection]


def test_a_part_that_is_not_there_clears_nothing_but_itself() -> None:
    """A result "or there is none" is no answer for causes that a car without the part has as well."""
    absent = {
        inspection.id
        for inspection in shipped_book().inspections.values()
        for result in inspection.results
        if result.normal and ABSENT.search(result.means)
    }
    assert len(absent) >= 6
    assert {name: found for name in absent if (found := others(results_of(name)))} == {}


def test_a_plate_that_a_car_without_the_cable_has_is_another() -> None:
    """The lever that hangs is the plate's fault: "no cable" may not count there as "moves freely"."""
    assert others(results_of("throttle-cable-unhooked")) == {"throttle-plate-blocked", "throttle-plate-iced"}


def test_work_that_is_referred_is_proved_by_the_codes_too() -> None:
    """After work of a workshop the codes are read again, or its read-out is asked for."""
    book = shipped_book()
    referred = [cause for cause in book.causes.values() if cause.remedy.action == "refer"]
    assert len(referred) > 30
    assert not [cause.id for cause in referred if not CODES.search(" ".join(cause.after_repair))]
