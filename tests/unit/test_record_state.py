"""What the events of a case amount to."""

from __future__ import annotations

import pytest

from helpers_record import INTAKE
from helpers_record import chain_of as case
from proveout.model.problem import BadInputError
from proveout.record.state import merged, withdrawal, withdrawn

LOOK = ("reading", {"inspection": "hose-look", "result": "whole"})
HOLD = ("reading", {"inspection": "valve-holds", "value": "-12 kPa"})


def test_an_intake_alone_is_its_own_document() -> None:
    assert merged(case()) == INTAKE


def test_readings_are_added_in_order() -> None:
    assert merged(case(LOOK, HOLD)) == {**INTAKE, "readings": [LOOK[1], HOLD[1]]}


def test_the_short_form_of_results_comes_before_later_readings() -> None:
    intake = {"readings": [{"inspection": "a", "result": "x"}], "results": {"hose-look": "cracked"}}
    assert [item["inspection"] for item in merged(case(LOOK, intake=intake))["readings"]] == [
        "a",
        *["hose-look"] * 2,
    ]
    assert "results" not in merged(case(intake=intake))


def test_a_withdrawal_restores_what_was_before() -> None:
    before = merged(case(LOOK))
    assert merged(case(LOOK, HOLD, ("withdrawal", {"event": 3}))) == before


def test_a_withdrawal_of_anything_but_readings_and_notes_counts_for_nothing() -> None:
    events = case(LOOK, ("repair", {"cause": "x", "component": "valve"}), ("withdrawal", {"event": 3}))
    assert merged(events)["replaced"] == ["valve"]
    assert withdrawn(events) == frozenset()


def test_up_to_an_event_later_ones_do_not_count() -> None:
    events = case(LOOK, HOLD, ("withdrawal", {"event": 2}))
    assert merged(events, upto=3)["readings"] == [LOOK[1], HOLD[1]]
    assert merged(events)["readings"] == [HOLD[1]]


def test_a_note_can_add_what_became_known_later() -> None:
    adds = {
        "codes": [{"code": "P0442", "status": "permanent"}, "P0455"],
        "vehicle": {"fuel": "petrol"},
        "tools": ["pump"],
        "symptoms": ["smell"],
        "results": {"hose-look": "whole"},
    }
    intake = {**INTAKE, "symptoms_absent": ["smell", "noise"], "tools": ["pump"]}
    document = merged(case(("note", {"text": "new", "adds": adds}), intake=intake))
    assert document["codes"] == [{"code": "P0442", "status": "permanent"}, "P0455"]
    assert document["vehicle"] == {**INTAKE["vehicle"], "fuel": "petrol"}  # type: ignore[dict-item]
    assert document["tools"] == ["pump"]
    assert (document["symptoms"], document["symptoms_absent"]) == (["smell"], ["noise"])
    assert document["readings"] == [{"inspection": "hose-look", "result": "whole"}]


def test_a_repair_replaces_the_component_and_voids_readings_of_the_old_one() -> None:
    repair = ("repair", {"cause": "valve-leaks", "component": "valve", "voids": ["valve-holds"]})
    document = merged(case(LOOK, HOLD, repair, HOLD))
    assert document["replaced"] == ["valve"]
    assert document["readings"] == [LOOK[1], HOLD[1]]


def test_the_events_are_not_changed_by_folding() -> None:
    events = case(LOOK, HOLD)
    before = repr(events)
    merged(events)["readings"].clear()
    assert repr(events) == before


@pytest.mark.parametrize(
    ("number", "check"),
    [(9, "no-such-event"), (1, "not-withdrawable"), (3, "withdrawn-before"), (4, "not-withdrawable")],
)
def test_a_withdrawal_that_cannot_be_is_refused(number: int, check: str) -> None:
    with pytest.raises(BadInputError) as caught:
        withdrawal(case(LOOK, HOLD, ("withdrawal", {"event": 3})), number)
    assert caught.value.problems[0].check == check
    assert "one of 2" in caught.value.problems[0].expected


def test_a_withdrawal_keeps_its_reason() -> None:
    assert withdrawal(case(LOOK), 2, "wrong hose").kept() == {"event": 2, "reason": "wrong hose"}
    assert withdrawal(case(LOOK), 2).kept() == {"event": 2}
