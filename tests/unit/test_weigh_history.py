"""What people tell of the time before has its place, and does what is stated of it, or nothing, with why."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from helpers_shipped import shipped_book
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.case import Sheet
from proveout.model.problem import BadInputError
from proveout.text.schema import fits
from proveout.weigh.history import AWAY_NOW, COMES_AND_GOES, LASTS, NEVER_CHANGED, factors
from proveout.weigh.inference import infer

IDLE, VALVE = "evap-nothing-wrong-now", "purge-valve-stuck-open"
EVAP: Mapping[str, Any] = {"codes": ["P0442"]}


def sheet(document: Mapping[str, Any]) -> Sheet:
    assert fits(document, "intake")
    return sheet_of(case_of(document, shipped_book()), shipped_book())


def times(document: Mapping[str, Any], cause: str) -> float:
    """The product of what the history of a case does to the odds of a cause."""
    product = 1.0
    for factor in factors(shipped_book(), cause, sheet(document)):
        product *= factor.times
    return product


def sure(document: Mapping[str, Any]) -> Mapping[str, float]:
    return infer(shipped_book(), sheet(document), "reference").posterior.confidence()


def test_for_years_speaks_against_nothing_wrong_now() -> None:
    told = {**EVAP, "history": {"for_years": True}}
    assert times(told, IDLE) == LASTS
    assert times(told, VALVE) == 1.0
    assert sure(told)[IDLE] < sure(EVAP)[IDLE]
    assert any("for years" in note for note in sheet(told).notes)


def test_comes_back_every_few_weeks_speaks_for_what_comes_and_goes() -> None:
    told = {**EVAP, "happens_when": ["now-and-then"]}
    assert times(told, IDLE) == LASTS
    assert times(told, "vent-circuit-wire-open") == COMES_AND_GOES
    assert times(told, VALVE) == 1.0


def test_it_is_heard_in_the_words_of_the_driver() -> None:
    heard = sheet({**EVAP, "said": ["It comes back every few weeks."]})
    assert any(atom.key == "now-and-then" for atom in heard.atoms)


def test_replaced_twice_counts_each_new_part() -> None:
    once = {**EVAP, "replaced": ["purge-valve"]}
    twice = {**EVAP, "history": {"replaced_again": {"purge-valve": 2}}}
    bad = shipped_book().words.components["purge-valve"].new_part_bad
    assert times(twice, VALVE) == pytest.approx(bad)
    assert sure(twice)[VALVE] < sure(once)[VALVE] < sure(EVAP)[VALVE]


@pytest.mark.parametrize(
    ("vehicle", "expected"),
    [
        ({"mileage_km": 145000}, NEVER_CHANGED),
        ({"age_years": 12}, NEVER_CHANGED),
        ({"mileage_km": 60000}, 1.0),
    ],
)
def test_never_changed_counts_where_the_vehicle_has_come_far_enough(
    vehicle: Mapping[str, float], expected: float
) -> None:
    told = {**EVAP, "vehicle": vehicle, "history": {"never_changed": ["purge-valve"]}}
    assert times(told, VALVE) == expected
    assert any("never changed" in note for note in sheet(told).notes)


def test_a_result_of_the_part_that_was_replaced_counts_for_nothing() -> None:
    reading = {"inspection": "purge-valve-holds-vacuum", "value": "-5 kPa"}
    told = {**EVAP, "readings": [{**reading, "old_part": True}]}
    assert sure(told) == sure(EVAP)
    assert sure({**EVAP, "readings": [reading]}) != sure(EVAP)
    assert any("replaced since" in note for note in sheet(told).notes)


def test_found_and_put_right_without_effect_speaks_against_having_been_all() -> None:
    told = {**EVAP, "mended": [{"cause": "filler-cap-seal-leaking", "since": "comes-back"}]}
    assert sure(told)["filler-cap-seal-leaking"] < sure(EVAP)["filler-cap-seal-leaking"] / 2


def test_an_exchanged_engine_changes_nothing_and_the_answer_says_why() -> None:
    told = {**EVAP, "history": {"engine_exchanged": True}}
    assert sure(told) == sure(EVAP)
    assert any("which parts came with it is not known" in note for note in sheet(told).notes)


def test_a_code_without_its_number_brings_the_causes_of_its_family_into_play() -> None:
    told = {"code_families": ["evap"]}
    believed = sure(told)
    assert believed["filler-cap-loose"] > 0.02
    assert "catalyst-worn-out" not in believed
    assert any("number is not known" in note for note in sheet(told).notes)


def test_where_a_code_of_the_family_was_read_with_its_number_that_says_all() -> None:
    assert sure({**EVAP, "code_families": ["evap"]}) == sure(EVAP)


def test_codes_that_are_only_stored_speak_for_what_is_away() -> None:
    told = {"codes": [{"code": "P0442", "status": "history"}]}
    assert times(told, IDLE) == AWAY_NOW
    assert sure(told)[IDLE] > sure(EVAP)[IDLE]


@pytest.mark.parametrize(
    "history", [{"replaced_again": {"no-such-part": 2}}, {"never_changed": ["no-such-part"]}]
)
def test_a_component_that_the_book_does_not_have_is_refused(history: Mapping[str, Any]) -> None:
    with pytest.raises(BadInputError, match="no-such-part"):
        case_of({**EVAP, "history": history}, shipped_book())
