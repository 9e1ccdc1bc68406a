"""What is still ahead of a case: driving and inspection."""

from __future__ import annotations

from typing import Any

import pytest

from helpers_book import write_book
from helpers_record import chain_of
from helpers_shipped import shipped_book
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.readiness.inspection import PROGRAMMES
from proveout.readiness.status import USUAL_SPARK, decode_status
from proveout.record.ahead import codes_now, inspected_now, named, readiness, still_to_drive

INTAKE = {"codes": ["P0442"], "vehicle": {"first_year": 2012}}
REPAIR = ("repair", {"cause": "valve-leaks"})
FEDERAL = PROGRAMMES["us-federal"]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    edit = {"evap.codes.yaml": [("family: evap", "family: evap\n  monitor: evap")]}
    return load_book(base=write_book(tmp_path_factory.mktemp("book") / "rules", edit=edit))


def verified(**body: Any) -> tuple[str, dict[str, Any]]:
    return "verification", body


def test_before_a_repair_the_code_is_confirmed_and_fails(book: Book) -> None:
    events = chain_of(intake=INTAKE)
    assert [seen.status for seen in codes_now(events, book)] == ["confirmed"]
    assert [need.about for need in still_to_drive(events, book)] == ["P0442"]
    assert "P0442" in inspected_now(events, book, FEDERAL).failed[0]


CLEARED = (
    chain_of(REPAIR, verified(codes_cleared=True), intake=INTAKE),
    chain_of(("repair", {"cause": "valve-leaks", "codes_cleared": True}), intake=INTAKE),
    chain_of(("amendment", {"adds": {"recent_work": ["codes-cleared"]}}), intake=INTAKE),
    chain_of(intake={**INTAKE, "recent_work": ["battery-disconnected"]}),
)


@pytest.mark.parametrize("events", CLEARED[:2])
def test_after_a_clear_every_monitor_is_unready_and_nothing_is_reassured(events: Any, book: Book) -> None:
    assert codes_now(events, book) == () and set(readiness(events, book).unready) == set(USUAL_SPARK)
    needs = still_to_drive(events, book, given={"fuel_level_pct": 95})
    need = next(need for need in needs if need.about == "evap")
    assert need.outlook is not None
    assert [condition.quantity for condition in need.outlook.unmet] == ["fuel_level_pct"]
    found = inspected_now(events, book, FEDERAL)
    assert not found.passes and "5 monitors are unready" in found.refused[0]
    assert "not read since" in found.unknown[0]


@pytest.mark.parametrize("events", CLEARED[2:])
def test_a_clear_that_the_record_knows_from_elsewhere_sets_them_back_too(events: Any) -> None:
    assert set(readiness(events, shipped_book()).unready) == set(USUAL_SPARK)


def test_of_what_nobody_read_nothing_is_said(book: Book) -> None:
    intake = {"symptoms": ["smell"], "vehicle": {"first_year": 2012}}
    found = inspected_now(chain_of(intake=intake), book, FEDERAL)
    assert not found.passes and not found.failed and not found.refused
    assert "Readiness is not known of: catalyst" in found.unknown[0]
    by_name = named(["catalyst", "oxygen-sensor", "rest"], ["evap"])
    assert inspected_now(chain_of(intake=intake), book, FEDERAL, names=by_name).passes


def test_monitors_by_name_after_a_clear(book: Book) -> None:
    some = named(["catalyst"], ["evap"])
    assert "catalyst" not in readiness(CLEARED[0], book, names=some).unready
    assert readiness(CLEARED[0], book, names=named(["rest"], ["evap"])).unready == ("evap",)
    with pytest.raises(BadInputError, match="catalyst"):
        named(["catalist"], [])
    with pytest.raises(BadInputError, match="as ready and as not ready"):
        named(["evap"], ["evap"])


def test_a_diesel_has_other_monitors(book: Book) -> None:
    intake = {"symptoms": ["smell"], "vehicle": {"first_year": 2012, "fuel": "diesel"}}
    events = chain_of(("repair", {"cause": "valve-leaks", "codes_cleared": True}), intake=intake)
    assert "particulate-filter" in readiness(events, book).unready
    assert "oxygen-sensor" not in readiness(events, book).unready


def test_a_monitor_that_has_run_since_is_ready(book: Book) -> None:
    cleared, run = verified(codes_cleared=True), verified(monitors_run=["evap"])
    assert "evap" not in readiness(chain_of(REPAIR, cleared, run, intake=INTAKE), book).unready
    assert "evap" in readiness(chain_of(REPAIR, run, cleared, intake=INTAKE), book).unready
    everything = verified(monitors_run=list(USUAL_SPARK))
    assert still_to_drive(chain_of(REPAIR, cleared, everything, intake=INTAKE), book) == ()


def test_a_permanent_code_after_a_clear_says_what_trip_it_needs(book: Book) -> None:
    now = verified(codes_cleared=True, codes_now=[{"code": "P0442", "status": "permanent"}])
    first, monitor, *_ = still_to_drive(chain_of(REPAIR, now, intake=INTAKE), book)
    assert "no tool clears it" in first.what and "10 min" in first.what
    assert monitor.about == "evap"
    assert not inspected_now(chain_of(REPAIR, now, intake=INTAKE), book, PROGRAMMES["us-california"]).passes


def test_a_clear_before_a_further_repair_leaves_codes_and_monitors_as_they_are(book: Book) -> None:
    events = chain_of(REPAIR, verified(codes_cleared=True), REPAIR, intake=INTAKE)
    assert [seen.code for seen in codes_now(events, book)] == ["P0442"]
    assert "evap" in readiness(events, book).unready


def test_the_status_word_goes_before_what_is_inferred(book: Book) -> None:
    events = chain_of(REPAIR, verified(codes_cleared=True), intake=INTAKE)
    status = decode_status("00 07 65 65")
    assert len(readiness(events, book, status).unready) == 4
    found = inspected_now(events, book, FEDERAL, status=status, lamp_lights=True)
    assert not found.passes and "4 monitors" in found.refused[0]


def test_without_a_model_year_nothing_is_said(book: Book) -> None:
    with pytest.raises(BadInputError, match="model year"):
        inspected_now(chain_of(intake={"codes": ["P0442"]}), book, FEDERAL)
    assert not inspected_now(chain_of(intake={"codes": ["P0442"]}), book, FEDERAL, model_year=1990).covered
