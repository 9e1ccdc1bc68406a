"""A good reading taken while a fault was away clears hardly anything that comes and goes."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from msgspec.structs import replace

from helpers_plan import book_of, code_rule, sheet_of, weighing
from proveout.model.advice import Triage
from proveout.model.atom import HAPPENS, Atom
from proveout.model.book import Book
from proveout.model.case import Costs
from proveout.model.entries import Cause, Inspection, Remedy, Result, Term
from proveout.plan.advice import triage
from proveout.weigh.inference import infer

SHORT, DEAD = "short-wire", "dead-sensor"
BUMPS = Atom(HAPPENS, "shaken", "present")


def made_up(kind: str = "measurement", brings_on: tuple[str, ...] = ()) -> Book:
    """A short that comes with bumps and a dead sensor that stays, each shown by an inspection of its own."""
    remedy = Remedy("repair", minutes=30)
    causes = [
        Cause(SHORT, "Short", "wire", 0.02, "made up", remedy, comes_with=("bumps",)),
        Cause(DEAD, "Dead", "sensor", 0.02, "made up", remedy),
    ]
    results = (Result("clear", normal=True), Result("bad", normal=False))
    checks = [
        Inspection(
            f"{name}-test", name, kind, {name: ("bad",)}, results, 5, brings_on=brings_on, steps=("Measure.",)
        )
        for name in (SHORT, DEAD)
    ]
    rules = [weighing(f"{name}-test", "bad", {name: 0.95}, 0.006) for name in (SHORT, DEAD)]
    book = book_of(causes, checks, [*rules, code_rule({SHORT: 0.8, DEAD: 0.8})])
    shaken = {"shaken": Term("shaken", "Shaken", brings_on=("bumps",))}
    return replace(book, words=replace(book.words, circumstances=shaken))


def sure(
    book: Book,
    results: Mapping[str, str],
    presence: Mapping[str, str] | None = None,
    *,
    shaken: bool = False,
) -> Mapping[str, float]:
    sheet = sheet_of(results, book=book, more=(BUMPS,) if shaken else ())
    sheet = replace(sheet, presence=presence or {})
    return infer(book, sheet, "reference").posterior.confidence()


def test_a_good_reading_while_the_fault_was_away_hardly_clears_what_comes_and_goes() -> None:
    book, good = made_up(), {f"{SHORT}-test": "clear"}
    before = sure(book, {})[SHORT]
    assert sure(book, good, {f"{SHORT}-test": "absent"})[SHORT] == pytest.approx(before, abs=0.03)
    assert sure(book, good, {f"{SHORT}-test": "present"})[SHORT] < before / 5


def test_it_clears_what_stays_all_the_same() -> None:
    book, good = made_up(), {f"{DEAD}-test": "clear"}
    assert sure(book, good, {f"{DEAD}-test": "absent"})[DEAD] == pytest.approx(sure(book, good)[DEAD])


def test_where_the_trouble_comes_with_bumps_a_reading_at_rest_counts_little() -> None:
    """What nobody marked is at rest; that the fault was there must be said."""
    book, good = made_up(), {f"{SHORT}-test": "clear"}
    rest, there = sure(book, good, shaken=True), sure(book, good, {f"{SHORT}-test": "present"}, shaken=True)
    assert rest[SHORT] > 0.5 * sure(book, {}, shaken=True)[SHORT] > there[SHORT]


def test_without_such_a_complaint_an_unmarked_reading_counts_as_the_book_says() -> None:
    book, good = made_up(), {f"{SHORT}-test": "clear"}
    assert sure(book, good)[SHORT] == pytest.approx(sure(book, good, {f"{SHORT}-test": "present"})[SHORT])


@pytest.mark.parametrize(("kind", "brings_on"), [("visual", ()), ("measurement", ("bumps",))])
def test_a_look_and_a_wiggle_test_clear_it_whenever_they_are_made(
    kind: str, brings_on: tuple[str, ...]
) -> None:
    book, good = made_up(kind, brings_on), {f"{SHORT}-test": "clear"}
    marked = sure(book, good, {f"{SHORT}-test": "absent"}, shaken=True)
    assert marked[SHORT] == pytest.approx(sure(book, good)[SHORT])


def test_what_is_abnormal_counts_in_full() -> None:
    book, bad = made_up(), {f"{SHORT}-test": "bad"}
    marked = sure(book, bad, {f"{SHORT}-test": "absent"}, shaken=True)
    assert marked[SHORT] == pytest.approx(sure(book, bad)[SHORT])


def answer(book: Book, results: Mapping[str, str], presence: Mapping[str, str], *, shaken: bool) -> Triage:
    sheet = replace(sheet_of(results, book=book, more=(BUMPS,) if shaken else ()), presence=presence)
    return triage(book, sheet, tools=frozenset(), costs=Costs(), engine="reference")


def test_the_planner_says_how_to_bring_the_fault_on() -> None:
    book = made_up()
    steps = {}
    for shaken in (True, False):
        found = answer(book, {f"{DEAD}-test": "clear"}, {}, shaken=shaken)
        assert found.next is not None and found.next.inspection == f"{SHORT}-test"
        steps[shaken] = found.next.bring_on
    assert steps == {True: ("bumps",), False: ()}


def test_what_was_good_while_the_fault_was_away_is_made_once_more_with_the_fault_there() -> None:
    book = made_up()
    good = {f"{DEAD}-test": "clear", f"{SHORT}-test": "clear"}
    found = answer(book, good, {f"{SHORT}-test": "absent"}, shaken=True)
    assert found.verdict.kind == "inspect" and found.next is not None
    assert (found.next.inspection, found.next.again) == (f"{SHORT}-test", True)
    assert "while the fault is there" in " ".join(found.verdict.reasons)
    assert next(s for s in found.hypotheses if s.cause == SHORT).direct == "none"


def test_with_the_fault_there_a_good_reading_settles_it() -> None:
    book = made_up()
    good = {f"{DEAD}-test": "clear", f"{SHORT}-test": "clear"}
    found = answer(book, good, {f"{SHORT}-test": "present"}, shaken=True)
    assert not (found.next and found.next.bring_on)
    assert next(s for s in found.hypotheses if s.cause == SHORT).direct == "passed"
