"""What an inspection is for: the causes it tells apart, its own worth, and only what bears on what leads."""

from __future__ import annotations

import numpy as np
import pytest

from helpers_plan import book_of, code_rule, sheet_of, valve_book, weighing
from helpers_shipped import shipped_book
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.case import Costs
from proveout.model.entries import Cause, Inspection, Range, Remedy, Result
from proveout.plan.advice import triage
from proveout.plan.purpose import leading

ALL = frozenset({"pump", "meter"})
CHAIN = Remedy("replace", "chain", Range(80, 120), 60)


def answer(book: Book, results: dict[str, str] | None = None, tools: frozenset[str] = ALL) -> Triage:
    sheet = sheet_of(results or {}, book=book)
    return triage(book, sheet, tools=tools, costs=Costs(), engine="reference")


def test_the_next_inspection_says_what_it_tells_apart_what_it_is_worth_and_why_now() -> None:
    got = answer(valve_book())
    assert got.next is not None
    entry = valve_book().inspections[got.next.inspection]
    assert set(got.next.apart) >= set(entry.proves)
    assert got.next.worth > 0
    assert got.next.why.endswith(".")


def test_its_own_worth_is_less_than_what_the_whole_plan_saves() -> None:
    got = answer(valve_book())
    for step in (got.next, *got.others):
        assert step is not None
        assert 0 <= step.worth <= step.expected_saving + 1e-9


def test_what_moves_no_leading_cause_is_not_listed() -> None:
    got = answer(valve_book())
    leaders = leading(got.hypotheses)
    assert got.others
    for other in got.others:
        assert not leaders.isdisjoint(other.apart)
        assert other.worth > 0


@pytest.mark.parametrize("code", ["P0420", "P0302", "P0171", "P0451", "P0500"])
def test_in_the_shipped_book_what_is_also_worth_doing_bears_on_what_leads(code: str) -> None:
    book = shipped_book()
    sheet = sheet_of(codes=(code,))
    got = triage(book, sheet, tools=frozenset(), costs=Costs(), engine="reference")
    leaders = leading(got.hypotheses)
    for step in got.others:
        assert not leaders.isdisjoint(step.apart)
    assert got.next is not None and got.next.apart


def locked_book() -> Book:
    """A cover that tells hardly anything when it is taken off, and what decides waits behind it."""
    fine, bad = Result("fine", True), Result("bad", False)
    causes = [
        Cause("gear-worn", "Gear worn", "gear", 0.02, "made up", Remedy("repair", minutes=30)),
        Cause("chain-long", "Chain long", "chain", 0.02, "made up", CHAIN),
    ]
    inspections = [
        Inspection("cover-off", "Take the cover off", "functional", {}, (fine, bad), 10),
        Inspection("behind-cover", "Look behind the cover", "visual",
                   {"gear-worn": ("bad",)}, (fine, bad), 3, after=("cover-off",)),
        Inspection("chain-measure", "Measure the chain", "measurement",
                   {"chain-long": ("bad",)}, (fine, bad), 4, after=("cover-off",)),
    ]  # fmt: skip
    rules = [
        code_rule({"gear-worn": 0.6, "chain-long": 0.6}),
        weighing("behind-cover", "bad", {"gear-worn": 0.97}, 0.005),
        weighing("chain-measure", "bad", {"chain-long": 0.97}, 0.005),
        weighing("cover-off", "bad", {"gear-worn": 0.03}, 0.02),
    ]
    return book_of(causes, inspections, rules)


def test_a_step_is_credited_with_what_it_unlocks() -> None:
    got = answer(locked_book())
    assert got.next is not None and got.next.inspection == "cover-off"
    assert "has to wait for it" in got.next.why


def test_handling_is_planned_with_and_charged_to_nobody() -> None:
    got = answer(valve_book())
    assert got.next is not None
    entry = valve_book().inspections[got.next.inspection]
    opened = sum(valve_book().words.access[place].minutes for place in entry.access)
    assert got.next.cost == pytest.approx((entry.minutes + opened) * 20 / 60)
    assert got.next.minutes == entry.minutes + opened
    assert np.isfinite(got.next.expected_saving)
