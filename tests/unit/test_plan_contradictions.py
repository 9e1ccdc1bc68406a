"""Direct evidence that contradicts itself is named first and repeated; it is never outvoted in silence."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from helpers_record import triage_of
from helpers_shipped import shipped_book, shipped_cases
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.advice import INSPECT, REPAIR
from proveout.model.atom import RESULT, Observable
from proveout.plan.contradictions import HARDLY_MISSED
from proveout.text.compose import compose
from proveout.text.node import plain
from proveout.weigh.cpts import cpt
from proveout.weigh.inference import infer

#: Shipped cases with a proven cause; an inspection is sought that would hardly miss it and was not made.
NAMES = (
    "cracked-vapour-hose",
    "fuel-on-the-rail-refer",
    "lean-hose-off-after-plugs",
    "misfire-coil-moved",
    "new-coolant-sensor-wire-broken",
    "new-relay-scorched-socket",
    "purge-valve-leaks-rough-start",
    "thermostat-hangs-open",
    "worn-battery-proven",
)


@cache
def disputed() -> tuple[tuple[dict[str, Any], str, str, str], ...]:
    """Return such cases, each with its cause, the inspection to come and that one's normal result."""
    found = []
    for path in (path for path in shipped_cases() if path.stem in NAMES):
        document = dict(plain(compose(path.read_text(encoding="utf-8"), path.name)))
        cause = document.pop("expect")["cause"]
        check, normal = further(document, cause)
        if check:
            found.append((document, cause, check, normal))
    return tuple(found)


def further(document: dict[str, Any], cause: str) -> tuple[str, str]:
    """Return an inspection that would hardly miss the cause and was not made, and its normal result."""
    book = shipped_book()
    case = case_of(document, book)
    facts = infer(book, sheet_of(case, book)).chained.facts
    made = {taken.inspection for taken in case.taken}
    for check in book.proved_by[cause]:
        how = cpt(book, facts, Observable(RESULT, check))
        row = how.given.get(cause) if how else None
        normal = [result.id for result in book.inspections[check].results if result.normal]
        if check not in made and row and 1 - sum(row) <= HARDLY_MISSED and normal:
            return check, normal[0]
    return "", ""


def with_reading(document: dict[str, Any], *taken: tuple[str, str]) -> dict[str, Any]:
    """Return a case with further results, in order."""
    results = {"readings": [], **document}
    short = [{"inspection": name, "result": result} for name, result in results.pop("results", {}).items()]
    new = [{"inspection": name, "result": result} for name, result in taken]
    return {**results, "readings": [*results["readings"], *short, *new]}


def test_a_passing_direct_inspection_beside_a_failing_one_is_named_first_and_repeated() -> None:
    book, named = shipped_book(), 0
    assert len(disputed()) >= 4
    for document, cause, check, normal in disputed():
        answer = triage_of(book, with_reading(document, (check, normal)))
        assert answer.verdict.kind != REPAIR, (cause, check)
        named += "in dispute" in answer.verdict.reasons[0] and answer.verdict.kind == INSPECT
    assert named


def alternating(document: dict[str, Any], check: str, shown: str, normal: str, times: int) -> dict[str, Any]:
    turns = [(check, (shown, normal)[turn % 2]) for turn in range(times)]
    return with_reading(document, *turns)


@pytest.mark.parametrize("times", [3, 5, 7])
def test_results_that_alternate_never_prove(times: int) -> None:
    """The swap is the one reading that counts; it ends on the failing side each time."""
    document = {"codes": ["P0303"], "results": {"coil-plug-look": "clean", "plug-well-look": "dry",
                                               "coil-boot-look": "sound"}}  # fmt: skip
    book = shipped_book()
    turns = alternating(document, "coil-swap", "moved-with-coil", "stayed", times)
    answer = triage_of(book, turns)
    assert answer.verdict.kind != REPAIR
    assert triage_of(book, with_reading(turns, ("coil-swap", "moved-with-coil"))).verdict.kind == REPAIR


def test_what_comes_out_alike_twice_is_believed_and_the_contradiction_stays_named() -> None:
    document, _, check, normal = next(
        one for one in disputed()
        if "in dispute" in triage_of(shipped_book(), with_reading(one[0], one[2:])).verdict.reasons[0]
    )  # fmt: skip
    book = shipped_book()
    asked, seen = [], with_reading(document, (check, normal))
    for _ in range(4):
        answer = triage_of(book, seen)
        if answer.next is None or not answer.next.again or "in dispute" not in answer.verdict.reasons[0]:
            break
        asked.append(answer.next.inspection)
        last = [item for item in seen["readings"] if item["inspection"] == answer.next.inspection][-1]
        seen = {**seen, "readings": [*seen["readings"], last]}
    assert asked[0] == check and len(asked) == len(set(asked)) >= 2
    assert "in dispute" not in triage_of(book, seen).verdict.reasons[0]
