"""Codes without rules are said first, with the nearest ones that have rules; sister codes are not absent."""

from __future__ import annotations

from helpers_plan import THE_CODE, sheet_of, valve_book
from helpers_shipped import shipped_book
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of as sheet_of_case
from proveout.model.atom import CODE
from proveout.model.case import Costs
from proveout.plan.advice import triage
from proveout.plan.unweighed import without_rules
from proveout.show.triage import triage_text
from proveout.weigh.inference import infer


def test_a_code_without_rules_is_said_first_beside_its_companions() -> None:
    book = valve_book()
    got = triage(
        book, sheet_of(codes=(THE_CODE, "P0999")), tools=frozenset(), costs=Costs(), engine="reference"
    )
    assert [one.code for one in got.without_rules] == ["P0999"]
    text = triage_text(got, book)
    driving_on, first = text.split("\n\n")[:2]
    assert driving_on.startswith("Driving on") and first.startswith("It counts for nothing here: P0999")
    assert "Not understood" not in text
    assert not triage(book, sheet_of(), tools=frozenset(), costs=Costs(), engine="reference").without_rules


def test_the_nearest_codes_with_rules_are_of_its_family_or_its_hundred() -> None:
    book = shipped_book()
    weighed = {seen.key for seen in book.weighing if seen.kind == CODE}
    silent = sorted(code for code in book.words.codes if code not in weighed)[:40]
    assert silent
    for found in without_rules(book, sheet_of(codes=silent)):
        assert set(found.nearest) <= weighed
        family = book.words.codes[found.code].family
        near = [book.words.codes[one].family == family or one[:3] == found.code[:3] for one in found.nearest]
        assert all(near)
    assert any(found.nearest for found in without_rules(book, sheet_of(codes=silent)))


def test_a_monitor_that_set_a_code_says_nothing_by_not_setting_its_sisters() -> None:
    """A run catalyst monitor beside P0420 took the catalyst from 45 to 30 % by "clearing" P0430."""
    book = shipped_book()

    def catalyst(**more: list[str]) -> float:
        sheet = sheet_of_case(case_of({"codes": ["P0420"], **more}, book), book)
        return infer(book, sheet, "reference").posterior.confidence()["catalyst-worn"]

    assert catalyst(monitors_run=["catalyst"]) == catalyst()
    other = sheet_of_case(case_of({"codes": ["P0171"], "monitors_run": ["catalyst"]}, book), book)
    assert any(seen.observable.key == "P0420" for seen in other.observations)
