"""What is still ahead of a case: driving and inspection."""

from __future__ import annotations

from typing import Any

import pytest

from helpers_book import write_book
from helpers_record import chain_of
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.readiness.inspection import PROGRAMMES
from proveout.readiness.status import decode_status
from proveout.record.ahead import codes_now, inspected_now, still_to_drive, unready

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


def test_after_a_clear_the_code_s_monitor_is_unready(book: Book) -> None:
    events = chain_of(REPAIR, verified(codes_cleared=True), intake=INTAKE)
    assert codes_now(events, book) == () and unready(events, book) == ("evap",)
    (need,) = still_to_drive(events, book, given={"fuel_level_pct": 95})
    assert need.about == "evap" and need.outlook is not None
    assert [condition.quantity for condition in need.outlook.unmet] == ["fuel_level_pct"]
    assert inspected_now(events, book, FEDERAL).passes  # one monitor may be unready


def test_a_monitor_that_has_run_since_is_ready(book: Book) -> None:
    cleared, run = verified(codes_cleared=True), verified(monitors_run=["evap"])
    assert unready(chain_of(REPAIR, cleared, run, intake=INTAKE), book) == ()
    assert unready(chain_of(REPAIR, run, cleared, intake=INTAKE), book) == ("evap",)
    assert still_to_drive(chain_of(REPAIR, cleared, run, intake=INTAKE), book) == ()


def test_a_permanent_code_after_a_clear_says_what_trip_it_needs(book: Book) -> None:
    now = verified(codes_cleared=True, codes_now=[{"code": "P0442", "status": "permanent"}])
    first, monitor = still_to_drive(chain_of(REPAIR, now, intake=INTAKE), book)
    assert "no tool clears it" in first.what and "10 min" in first.what
    assert monitor.about == "evap"
    assert not inspected_now(chain_of(REPAIR, now, intake=INTAKE), book, PROGRAMMES["us-california"]).passes


def test_a_clear_before_a_further_repair_does_not_count(book: Book) -> None:
    events = chain_of(REPAIR, verified(codes_cleared=True), REPAIR, intake=INTAKE)
    assert unready(events, book) == ()


def test_the_status_word_goes_before_what_is_inferred(book: Book) -> None:
    events = chain_of(REPAIR, verified(codes_cleared=True), intake=INTAKE)
    status = decode_status("00 07 65 65")
    assert len(unready(events, book, status)) == 4
    found = inspected_now(events, book, FEDERAL, status=status, lamp_lights=True)
    assert not found.passes and "4 monitors" in found.refused[0]


def test_without_a_model_year_nothing_is_said(book: Book) -> None:
    with pytest.raises(BadInputError, match="model year"):
        inspected_now(chain_of(intake={"codes": ["P0442"]}), book, FEDERAL)
    assert not inspected_now(chain_of(intake={"codes": ["P0442"]}), book, FEDERAL, model_year=1990).covered
