"""A case becomes facts and observations: repeats, borderline readings, absent codes, thresholds."""

from __future__ import annotations

from typing import Any

import pytest

from helpers_shipped import shipped_book
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.atom import Atom, Observable
from proveout.model.case import Sheet
from proveout.model.problem import BadInputError, Place


def sheet(**document: Any) -> Sheet:
    book = shipped_book()
    return sheet_of(case_of(document, book), book)


def states(found: Sheet, kind: str, key: str) -> dict[str, float]:
    return next(dict(seen.states) for seen in found.observations if seen.observable == Observable(kind, key))


def test_a_code_gives_its_state_and_its_status() -> None:
    atoms = sheet(codes=[{"code": "p0442", "status": "pending"}]).atoms
    assert {Atom("code", "P0442", "set"), Atom("status", "P0442", "pending")} <= atoms
    assert Atom("status", "P0442", "confirmed") not in atoms


def test_a_code_not_set_is_normal_only_where_its_monitor_ran() -> None:
    silent = sheet(codes=["P0171"])
    assert not any(seen.observable.key == "P0455" for seen in silent.observations)
    ran = sheet(codes=["P0171"], monitors_run=["evap"])
    assert states(ran, "code", "P0455") == {"normal": 1.0}
    assert not any(atom.key == "P0455" for atom in ran.atoms)


def test_the_latest_of_repeated_inspections_counts_and_a_note_says_so() -> None:
    found = sheet(
        codes=["P0442"],
        readings=[
            {"inspection": "cap-seal-look", "result": "damaged"},
            {"inspection": "cap-seal-look", "result": "sound"},
        ],
    )
    assert states(found, "result", "cap-seal-look") == {"sound": 1.0}
    assert Atom("result", "cap-seal-look", "damaged") not in found.atoms
    assert any("repeated" in note for note in found.notes)


def test_thresholds_hold_only_for_what_is_known() -> None:
    predicates = [item for item in shipped_book().predicates if item.fact == "vehicle.age" and item.number]
    assert predicates, "the shipped book has age thresholds"
    item = predicates[0]
    assert item.number is not None
    old = sheet(codes=["P0442"], vehicle={"age_years": item.number})
    young = sheet(codes=["P0442"], vehicle={"age_years": item.number - 0.1})
    unknown = sheet(codes=["P0442"])
    holds = [item.atom in found.atoms for found in (old, young, unknown)]
    assert holds == ([True, False, False] if item.op == "at_least" else [False, True, False])


def test_cannot_tell_gives_no_fact_but_opens_the_place() -> None:
    book = shipped_book()
    found = sheet(codes=["P0442"], results={"hoses-look-under": "cannot-tell"})
    assert not any(atom.kind == "result" for atom in found.atoms)
    assert found.open_access == frozenset(book.inspections["hoses-look-under"].access)


def test_clear_free_text_is_used_and_noted_and_the_rest_listed() -> None:
    found = sheet(codes=["P0442"], said=["smells of fuel, the radio hums"])
    assert states(found, "symptom", "fuel-smell") == {"present": 1.0}
    assert any("fuel-smell" in note for note in found.notes)
    assert found.unmatched == ("“the radio hums”",)


def test_codes_that_no_rule_weighs_are_listed() -> None:
    listed = sheet(codes=["P0442", "P1135", "P0AFA"]).unmatched
    assert len(listed) == 2
    assert "maker" in listed[0] and listed[1].startswith("P0AFA")


@pytest.mark.parametrize(
    ("document", "check", "hint"),
    [
        ({"symptoms": ["fuel-smel"]}, "unknown-id", "fuel-smell"),
        ({"replaced": ["purge-valv"]}, "unknown-id", "purge-valve"),
        ({"results": {"cap-seal-loook": "sound"}}, "unknown-id", "cap-seal-look"),
        ({"results": {"cap-seal-look": "wet"}}, "unknown-result", "damaged"),
        ({"codes": ["P04X2"]}, "code-form", "P0442"),
        ({"readings": [{"inspection": "cap-seal-look", "value": "2 V"}]}, "no-reading", "sound"),
    ],
)
def test_what_the_book_does_not_have_is_refused_with_a_hint(
    document: dict[str, Any], check: str, hint: str
) -> None:
    with pytest.raises(BadInputError) as caught:
        case_of(document, shipped_book(), lambda _path: Place("my.yaml", 3, 5))
    (problem,) = caught.value.problems
    assert problem.check == check
    assert problem.place == Place("my.yaml", 3, 5) or check == "code-form"
    assert hint in str(problem)


def test_all_complaints_come_in_one_run() -> None:
    with pytest.raises(BadInputError) as caught:
        case_of({"codes": ["Q1", "P0442"], "symptoms": ["nope-a", "nope-b"]}, shipped_book())
    assert len(caught.value.problems) == 3
