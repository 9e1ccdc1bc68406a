"""What a case means for driving on: the most urgent counts, and it stands above everything else.

The situations and what a good technician says of each are common practice, no source.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_topics
from helpers_cli import proveout, write_yaml
from helpers_record import triage_of
from helpers_shipped import shipped_book
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.model.urgency import SCALE
from proveout.show.driving import UNKNOWN
from proveout.text.schema import fits

#: What is known, what it means for driving on, and the entry that decides.
SITUATIONS: tuple[tuple[dict[str, Any], str, str], ...] = (
    ({"codes": ["P0442"], "symptoms": ["fuel-drips"]}, "stop", "symptom:fuel-drips"),
    ({"codes": ["P0301"], "symptoms": ["lamp-flashes"]}, "to-a-garage", "symptom:lamp-flashes"),
    ({"symptoms": ["exhaust-smell-inside"]}, "stop", "symptom:exhaust-smell-inside"),
    (
        {"symptoms": ["oil-lamp-flickers", "deep-knock-follows-speed"]},
        "stop",
        "symptom:deep-knock-follows-speed",
    ),
    ({"codes": ["P0507"], "symptoms": ["revs-by-itself"]}, "stop", "symptom:revs-by-itself"),
    ({"codes": ["P0335"], "symptoms": ["dies-while-driving"]}, "stop", "symptom:dies-while-driving"),
    ({"symptoms": ["overheats-on-the-road"]}, "stop", "symptom:overheats-on-the-road"),
    ({"codes": ["P0217"]}, "stop", "engine-too-hot-code"),
    ({"codes": ["P0524"]}, "stop", "oil-pressure-too-low-code"),
    ({"symptoms": ["brake-pedal-hard"]}, "stop", "symptom:brake-pedal-hard"),
    ({"codes": ["U0121"]}, "to-a-garage", "brake-or-steering-help-not-heard"),
    ({"symptoms": ["charging-lamp-on"]}, "to-a-garage", "symptom:charging-lamp-on"),
    ({"codes": ["P0622"]}, "to-a-garage", "charging-failed-code"),
    ({"codes": ["P0A0F"]}, "to-a-garage", "hybrid-codes"),
    ({"codes": ["P0301"]}, "soon", "misfire-codes"),
    ({"codes": ["P0420"]}, "when-convenient", "exhaust-and-vapour-codes"),
    ({"codes": ["P0442"]}, "when-convenient", "exhaust-and-vapour-codes"),
)


@pytest.mark.parametrize(("known", "do", "deciding"), SITUATIONS)
def test_what_is_known_says_whether_to_drive_on(known: dict[str, Any], do: str, deciding: str) -> None:
    found = triage_of(shipped_book(), known).driving_on
    assert found.do == do
    assert deciding in [entry.id for entry in found.held if entry.do == do]
    assert all(entry.because and entry.source for entry in found.held)


def test_every_family_of_the_catalogue_says_what_its_codes_mean() -> None:
    book = shipped_book()
    told = {family for entry in book.driving for family in entry.families}
    assert {code.family for code in book.words.codes.values()} <= told


def test_a_symptom_that_is_absent_asks_for_nothing() -> None:
    known = {"codes": ["P0442"], "symptoms_absent": ["fuel-drips"]}
    assert triage_of(shipped_book(), known).driving_on.do == "when-convenient"


def test_nothing_known_is_no_reassurance() -> None:
    known = {"codes": ["P1234"]}
    found = triage_of(shipped_book(), known).driving_on
    assert found.do == "" and found.held == ()
    assert "Stop at once" in UNKNOWN


def test_a_hybrid_shows_its_cautions_whatever_else_holds(tmp_path: Path) -> None:
    path = write_yaml(tmp_path / "car.yaml", {"codes": ["P0442"], "vehicle": {"fuel": "Hybrid"}})
    answer = proveout("triage", path, home=tmp_path)
    assert answer.out.startswith(f"Driving on: {SCALE['when-convenient'][:20]}")
    assert "High voltage on hybrids" in answer.out.partition("Nothing is proven")[0]
    assert "Orange cables" in proveout("triage", path, "--full", home=tmp_path).out.partition("\n\n")[0]


def test_it_stands_above_everything_in_text_page_and_json(tmp_path: Path) -> None:
    known = {"codes": ["P0442"], "symptoms": ["fuel-drips"]}
    path = write_yaml(tmp_path / "car.yaml", known)
    answer = proveout("triage", path, home=tmp_path)
    assert answer.out.startswith("Driving on: do not drive on")
    document = json.loads(proveout("triage", path, "--json", home=tmp_path).out)
    assert document["driving_on"]["do"] == "stop" and fits(document, "triage")
    assert proveout("report", path, "--out", tmp_path / "page.html", home=tmp_path).code == 0
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert page.index("do not drive on") < page.index("Why the vehicle came")


def opened(tmp_path: Path, own: str, *edits: tuple[str, str, str]) -> Book:
    """Return the small book of the tests with a layer laid over it."""
    base, home = write_topics(tmp_path / "base", *edits), tmp_path / "shop"
    home.mkdir()
    (home / "own.yaml").write_text(own, encoding="utf-8")
    return load_book([home], base=base, cache=None)


_FAMILY = "driving-on: [{id: vapour, families: [evap], do: when-convenient, because: B., source: s}]\n"
_SMELL = (
    "evap/evap.yaml",
    "{id: smell, title: Smell, words: [stinks]}",
    "{id: smell, title: Smell, words: [stinks], driving_on: {do: soon, because: It smells., source: s}}",
)
_CRACKED = (
    "evap/hose.yaml",
    "means: A crack., shows",
    "means: A crack., driving_on: {do: stop, because: It burns., source: s}, shows",
)


def test_a_layer_changes_a_row_by_its_name_alone(tmp_path: Path) -> None:
    own = "driving-on: [{replaces: symptom:smell, do: stop, because: Here we tow., source: own jobs}]\n"
    found = triage_of(opened(tmp_path, own, _SMELL), {"symptoms": ["smell"]}).driving_on
    assert [(entry.do, entry.because, entry.layer) for entry in found.held] == [
        ("stop", "Here we tow.", "shop")
    ]


def test_an_entry_may_stand_at_a_result(tmp_path: Path) -> None:
    book = opened(tmp_path, _FAMILY, _SMELL, _CRACKED)
    found = triage_of(book, {"symptoms": ["smell"], "results": {"hose-look": "cracked"}}).driving_on
    assert [entry.id for entry in found.held] == ["hose-look=cracked", "symptom:smell"]
    assert found.held[0].place.file.endswith("hose.yaml")
    whole = triage_of(book, {"symptoms": ["smell"], "results": {"hose-look": "whole"}}).driving_on
    assert whole.do == "soon"


@pytest.mark.parametrize(
    ("entry", "saw"),
    [
        ("{id: a, families: [evaap], do: stop, because: B., source: s}", "evaap"),
        ("{id: a, when: {symptom: gone}, do: stop, because: B., source: s}", "gone"),
        ("{id: a, families: [evap], do: halt, because: B., source: s}", "halt"),
        ("{id: a, families: [evap], do: stop, because: B.}", "source"),
        ("{id: a, do: stop, because: B., source: s}", "when"),
    ],
)
def test_what_is_wrong_with_an_entry_is_located(tmp_path: Path, entry: str, saw: str) -> None:
    with pytest.raises(BadInputError) as error:
        opened(tmp_path, f"driving-on:\n  - {entry}\n")
    problem = error.value.problems[0]
    assert problem.place.file.endswith("own.yaml") and problem.place.line == 2
    assert saw in f"{problem.saw} {problem.expected}"


def test_what_is_found_and_can_burn_or_takes_the_brakes_is_told_before_anybody_drives() -> None:
    """A wet fuel line was recorded, and the page named the next inspection without a word on driving."""
    book = shipped_book()
    told = {str(atom) for entry in book.driving if entry.when for atom in entry.when.atoms}
    for cause in ("fuel-line-leaking", "tank-leaking", "brake-booster-leaking", "brake-booster-hose-leaking"):
        for name in book.proved_by[cause]:
            results = book.inspections[name].proves[cause]
            assert [r for r in results if f"result {name}={r}" not in told] == [], (cause, name)
