"""Whole intakes through a pseudo-terminal, with wrong answers on the way: each ends in a kept case."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from helpers_terminal import talk
from proveout.record import casefile, state

CODES, NOTICE, MORE = "Codes read", "What do you notice", "Anything else?"
ABSENT, PARTS, WORK = "Looked for, and not there", "Parts already replaced", "Work done just before"
AGE, MILEAGE, FUEL, TOOLS = "Age in years", "Mileage, with", "Fuel", "Tools at hand"
NUMBER, OTHERWISE, KIND = "Its number", "Say it otherwise", "Enter if you do not know"

REST = [(ABSENT, ""), (PARTS, ""), (WORK, ""), (AGE, ""), (MILEAGE, ""), (FUEL, ""), (TOOLS, "")]

#: Of each dialogue: what is waited for and answered, and what the case must then hold.
DIALOGUES: dict[str, tuple[list[tuple[str, str]], dict[str, Any]]] = {
    "only a code": ([(CODES, "P0442"), (NOTICE, ""), *REST], {"codes": ["P0442"]}),
    "codes mistyped, then with their status": (
        [(CODES, "P44"), (CODES, "P0442 broken"), (CODES, "p0442 pending, P0455"), (NOTICE, ""), *REST],
        {"codes": [{"code": "p0442", "status": "pending"}, "P0455"]},
    ),
    "a denial is an absent symptom": (
        [(CODES, "P0442"), (NOTICE, "no smell of gas"), (MORE, ""), *REST],
        {"symptoms_absent": ["fuel-smell"]},
    ),
    "a wrong number is asked again": (
        [(CODES, ""), (NOTICE, "car shakes"), (NUMBER, "99"), (NUMBER, "what"), (NUMBER, ""), (MORE, ""),
         *REST],
        {"said": ["car shakes"]},
    ),
    "what is not understood is kept as it was said": (
        [(CODES, "P0300"), (NOTICE, "the parrot is blue, rough idle"), (MORE, ""), *REST],
        {"said": ["the parrot is blue"], "symptoms": ["rough-idle"]},
    ),
    "an unknown part can be said otherwise": (
        [(CODES, "P0442"), (NOTICE, ""), (ABSENT, "none"), (PARTS, "flux capacitor and fuel cap"),
         (OTHERWISE, "thermostat"), *REST[2:]],
        {"replaced": ["thermostat", "fuel-cap"]},
    ),
    "a mileage in miles, an age that is a year, a number that is none": (
        [(CODES, "P0442"), (NOTICE, ""), *REST[:3], (AGE, "old"), (AGE, "12,5"), (MILEAGE, "far"),
         (MILEAGE, "93,000"), (NUMBER, "2"), (FUEL, "petrol"), (TOOLS, "")],
        {"vehicle": {"age_years": 12.5, "mileage_km": 149669.0, "fuel": "petrol"}},
    ),
    "back goes back and the answer is given anew": (
        [(CODES, "P0442"), (NOTICE, "back"), (CODES, "P0171"), (NOTICE, ""), *REST, (KIND, "")],
        {"codes": ["P0171"]},
    ),
    "the vehicle is asked about where much hangs on it": (
        [(CODES, "P0171"), (NOTICE, ""), *REST, (KIND, "perhaps"), (KIND, "no")],
        {"codes": ["P0171"], "vehicle": {"lacks": ["air-flow-sensor"]}},
    ),
    "a code without its number, a part replaced twice, for years": (
        [(CODES, "evap"), (NOTICE, "rough idle for years"), (MORE, ""), (ABSENT, ""),
         (PARTS, "fuel cap twice"), *REST[2:]],
        {"code_families": ["evap"], "symptoms": ["rough-idle"], "replaced": ["fuel-cap"],
         "history": {"for_years": True, "replaced_again": {"fuel-cap": 2}}},
    ),
    "lists at a question mark, tools by their titles": (
        [(CODES, "?"), (CODES, "P0442"), (NOTICE, ""), *REST[:-1], (TOOLS, "? vacuum"),
         (TOOLS, "hand vacuum pump, digital multimeter")],
        {"tools": ["hand-vacuum-pump", "multimeter"]},
    ),
    "nothing said at first": (
        [(CODES, ""), (NOTICE, ""), *REST, (CODES, ""), (NOTICE, "rough idle"), (MORE, ""), *REST],
        {"symptoms": ["rough-idle"]},
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a directory in which the book is compiled once for all dialogues."""
    return tmp_path_factory.mktemp("cache")


def kept(case: Path) -> dict[str, Any]:
    """Return what a case holds."""
    return state.merged(casefile.read(case))


@pytest.mark.parametrize("name", DIALOGUES)
def test_a_dialogue_ends_in_a_kept_case(tmp_path: Path, cache: Path, name: str) -> None:
    steps, wanted = DIALOGUES[name]
    case = tmp_path / "car.yaml"
    code, shown = talk(tmp_path, cache, ["intake", case], steps)
    assert code == 0 and "Traceback" not in shown, shown
    document = kept(case)
    has_something = document.get("codes") or document.get("symptoms")
    to_type = ("proveout record", "proveout why") if has_something else ("proveout amend",)
    assert any(command in shown for command in to_type)
    assert {key: document.get(key) for key in wanted} == wanted
    assert not case.with_name("car.yaml.draft").exists()


def test_a_dialogue_broken_off_is_gone_on_with(tmp_path: Path, cache: Path) -> None:
    case = tmp_path / "car.yaml"
    code, shown = talk(
        tmp_path,
        cache,
        ["intake", case],
        [(CODES, "P0442"), (NOTICE, "rough idle"), (MORE, ""), (ABSENT, "^C")],
    )
    assert code == 130 and "goes on with it" in shown and not case.exists()
    code, shown = talk(tmp_path, cache, ["intake", case], [("Go on with it?", ""), *REST])
    assert code == 0, shown
    assert kept(case)["codes"] == ["P0442"] and kept(case)["symptoms"] == ["rough-idle"]


def test_a_reading_is_asked_for_until_it_can_be_used(tmp_path: Path, cache: Path) -> None:
    case = tmp_path / "car.yaml"
    assert talk(tmp_path, cache, ["intake", case, "--code", "P0442"], [])[0] == 0
    steps = [("What it gave", "?"), ("What it gave", "perhaps"), ("What it gave", "cannot-tell")]
    code, shown = talk(tmp_path, cache, ["record", case], steps)
    assert code == 0 and "perhaps" in shown, shown
    assert [reading["result"] for reading in kept(case)["readings"]] == ["cannot-tell"]
