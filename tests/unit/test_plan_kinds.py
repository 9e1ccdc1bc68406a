"""Where a kind of vehicle is unknown and matters, one question is asked; else none."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from msgspec.structs import replace

from helpers_plan import book_of, code_rule, sheet_of, weighing
from helpers_shipped import shipped_book
from proveout.intake.document import case_of
from proveout.model.advice import Triage
from proveout.model.book import Book, OnlyFor
from proveout.model.case import Costs
from proveout.model.entries import Cause, Inspection, Remedy, Result
from proveout.model.vehicle import EXCLUSIVE, KINDS, QUESTIONS, SHARES
from proveout.plan.advice import advise, triage
from proveout.record.state import _add
from proveout.terminal.asking_kinds import answered

BOTH = ("charger-leaks", "hose-leaks")


def made_up(*fits: OnlyFor) -> Book:
    """Two causes as likely as each other, of which some may need or exclude a kind of vehicle."""
    causes = [Cause(name, name, name, 0.02, "made up", Remedy("repair", minutes=30)) for name in BOTH]
    results = (Result("sound", normal=True), Result("bad", normal=False))
    checks = [
        Inspection(f"{name}-look", name, "visual", {name: ("bad",)}, results, 5, steps=("Look.",))
        for name in BOTH
    ]
    rules = [weighing(f"{name}-look", "bad", {name: 0.9}, 0.01) for name in BOTH]
    return replace(book_of(causes, checks, [*rules, code_rule(dict.fromkeys(BOTH, 0.8))]), only_for=fits)


NEEDS = OnlyFor("causes", BOTH[0], ("turbo",), ())


def answer(book: Book, has: Sequence[str] = (), lacks: Sequence[str] = ()) -> Triage:
    sheet = replace(sheet_of(book=book), has=frozenset(has), lacks=frozenset(lacks))
    return triage(book, sheet, tools=frozenset(), costs=Costs(), engine="reference")


def test_what_half_of_the_belief_hangs_on_is_asked() -> None:
    found = answer(made_up(NEEDS)).ask
    assert found is not None
    assert (found.kinds, found.text) == (("turbo",), "Does the engine have a turbocharger?")
    assert BOTH[0] in found.why


@pytest.mark.parametrize(("has", "lacks"), [(("turbo",), ()), ((), ("turbo",))])
def test_what_is_known_is_not_asked(has: Sequence[str], lacks: Sequence[str]) -> None:
    assert answer(made_up(NEEDS), has, lacks).ask is None


def test_what_nothing_hangs_on_is_not_asked() -> None:
    assert answer(made_up()).ask is None


def test_what_the_code_tells_already_is_not_asked() -> None:
    """All that it can be needs a petrol engine: then it has one."""
    book = made_up(*(OnlyFor("causes", name, (), ("diesel",)) for name in BOTH))
    assert answer(book).ask is None


def test_a_bare_code_of_the_shipped_book_asks_one_question_at_most_and_its_answer_ends_it() -> None:
    book = shipped_book()
    document: dict[str, Any] = {"codes": ["P0171"]}
    first = advise(case_of(document, book), book).ask
    assert first is not None and first.kinds == ("air-flow-sensor",)
    while first is not None:
        document.setdefault("vehicle", {}).setdefault("has", []).append(first.kinds[0])
        again = advise(case_of(document, book), book).ask
        assert again is None or again.kinds != first.kinds
        first = again


def test_every_kind_has_a_question_and_a_share() -> None:
    assert {kind for kinds in QUESTIONS for kind in kinds} == set(KINDS) == set(SHARES)
    assert all(len(kinds) == 1 or frozenset(kinds) in EXCLUSIVE for kinds in QUESTIONS)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        (["yes"], {"vehicle": {"has": ["turbo"]}}),
        (["perhaps", "no"], {"vehicle": {"lacks": ["turbo"]}}),
        ([""], {}),
    ],
)
def test_the_answer_becomes_what_the_vehicle_has_or_lacks(
    typed: list[str], expected: dict[str, object]
) -> None:
    question = answer(made_up(NEEDS)).ask
    assert question is not None
    assert answered(question, lambda _text, _answers: typed.pop(0)) == expected


def test_what_is_added_about_the_vehicle_leaves_what_was_known() -> None:
    document = {"vehicle": {"has": ["petrol"], "lacks": ["turbo"], "age_years": 9}}
    _add(document, {"vehicle": {"has": ["turbo"]}})
    assert document["vehicle"] == {"has": ["petrol", "turbo"], "age_years": 9}
