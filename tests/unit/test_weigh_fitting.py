"""What a vehicle cannot have is neither weighed nor offered; what is not known counts as fitting."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from helpers_shipped import shipped_book
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.intake.vehicle import kinds_of
from proveout.model.advice import Triage
from proveout.model.case import Case, Sheet
from proveout.model.vehicle import KINDS, excluded_by
from proveout.plan.advice import advise
from proveout.text.schema import fits
from proveout.weigh.fitting import fitted


def _triage(document: Mapping[str, Any]) -> Triage:
    return advise(case_of(document, shipped_book()), shipped_book())


def _offered(triage: Triage) -> set[str]:
    found = {one.inspection for one in triage.others}
    return found | ({triage.next.inspection} if triage.next else set())


def test_nothing_known_leaves_the_very_same_book() -> None:
    book = shipped_book()
    assert fitted(book, Sheet(frozenset(), ())) is book


@pytest.mark.parametrize(
    ("vehicle", "codes", "gone"),
    [
        ({"fuel": "diesel"}, ["P0300"], {"spark-plugs-worn", "ignition-coil-failed", "plug-lead-failed"}),
        ({"engine": "1.9 turbo diesel"}, ["P0442"], {"filler-cap-loose", "purge-valve-coil-open"}),
        ({"lacks": ["turbo"]}, ["P0299"], {"charge-hose-leaking", "wastegate-sticks"}),
        ({"lacks": ["air-flow-sensor"]}, ["P0171"], {"maf-element-dirty", "maf-drifted-low"}),
        ({"has": ["hybrid"]}, ["P0562"], {"alternator-no-output", "drive-belt-slipping"}),
    ],
)
def test_causes_that_the_vehicle_cannot_have_are_not_weighed(
    vehicle: Mapping[str, Any], codes: list[str], gone: set[str]
) -> None:
    """Common practice, no source: a diesel has neither spark plugs nor a fuel vapour system."""
    before = {standing.cause for standing in _triage({"codes": codes}).hypotheses}
    after = {standing.cause for standing in _triage({"codes": codes, "vehicle": vehicle}).hypotheses}
    assert before & gone
    assert not after & gone
    assert after < before


def test_inspections_that_the_vehicle_cannot_have_are_asked_for_nowhere() -> None:
    book = shipped_book()
    case = case_of({"codes": ["P0171"], "vehicle": {"has": ["in-line-engine"], "lacks": ["turbo"]}}, book)
    sheet = sheet_of(case, book)
    narrow = fitted(book, sheet)
    assert fitted(narrow, sheet) is narrow
    assert fitted(book, sheet) is narrow
    out = {one.id for one in book.only_for if {"v-engine", "turbo"} & set(one.fits)}
    assert "both-banks-compared" in out
    for cause in book.causes:
        assert not out & {*narrow.proved_by[cause], *narrow.causes[cause].before_buying}
        assert not out & {o.key for o in narrow.weighed_in[cause]}
    assert not any(out & set(inspection.after) for inspection in narrow.inspections.values())
    assert not out & _offered(advise(case, book))


def test_an_inspection_that_was_made_all_the_same_still_speaks() -> None:
    vehicle = {"has": ["in-line-engine"]}
    plain = _triage({"codes": ["P0171"], "vehicle": vehicle})
    made = {"codes": ["P0171"], "vehicle": vehicle, "results": {"both-banks-compared": "both-lean"}}
    assert {s.cause: s.confidence for s in _triage(made).hypotheses} != {
        s.cause: s.confidence for s in plain.hypotheses
    }


@pytest.mark.parametrize(
    ("facts", "has", "lacks"),
    [
        ({"vehicle.fuel": "Diesel"}, {"diesel"}, {"petrol"}),
        ({"vehicle.engine": "2.5 V6 gasoline"}, {"v-engine", "petrol"}, {"in-line-engine", "diesel"}),
        ({"vehicle.engine": "1.8 without turbo"}, set(), set()),
        ({"vehicle.engine": "supergas V60"}, set(), set()),
        ({"vehicle.engine": "straight six, turbo"}, {"in-line-engine", "turbo"}, {"v-engine"}),
        ({"vehicle.fuel": "petrol or diesel"}, set(), set()),
    ],
)
def test_engine_and_fuel_are_understood_where_they_are_clear(
    facts: Mapping[str, float | str], has: set[str], lacks: set[str]
) -> None:
    assert tuple(map(set, kinds_of(Case(facts=facts)))) == (has, lacks)


def test_what_is_stated_goes_before_what_it_is_called() -> None:
    case = Case(facts={"vehicle.engine": "2.0 diesel turbo"}, has=("petrol",), lacks=("turbo",))
    assert tuple(map(set, kinds_of(case))) == ({"petrol"}, {"diesel", "turbo"})
    assert kinds_of(Case(has=("turbo",), lacks=("turbo",))) == (frozenset(), frozenset())


def test_the_schemas_know_the_same_kinds() -> None:
    for kind in KINDS:
        assert fits({"codes": ["P0442"], "vehicle": {"has": [kind], "lacks": [kind]}}, "intake")
    assert not fits({"codes": ["P0442"], "vehicle": {"has": ["steam"]}}, "intake")
    assert excluded_by(["petrol", "manual"]) == {"diesel", "automatic"}
