"""The standard of proof and the laws of triage, on the whole shipped book with random cases."""

from __future__ import annotations

import random
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from helpers_shipped import shipped_book
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.advice import INSPECT, MEND, REPAIR, WATCH, Triage
from proveout.model.atom import CANNOT_TELL, CODE
from proveout.model.case import Costs
from proveout.plan.advice import triage

BOOK = shipped_book()
CODES = sorted(seen.key for seen in BOOK.weighing if seen.kind == CODE)
QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large]
#: Several causes proven at once, of which the likeliest is dearer to mend first than to hand over.
SEVERAL_PROVEN = {
    "codes": ["P0502"],
    "readings": [
        {"inspection": name, "result": result}
        for name, result in {
            "brake-lamp-and-codes": "wheel-speed-code",
            "needle-against-live-data": "both-dead",
            "cluster-speed-in-and-out": "goes-through",
            "harness-look-engine-bay": "sound",
            "speed-sensor-supply": "fed",
            "speed-signal-turning-wheel": "none",
            "module-ground-drop": "good",
            "speed-sensor-tip-look": "clean",
            "speed-sensor-plug-look": "left-off",
            "speed-sensor-resistance": "open",
            "speed-sensor-wire-check": "whole",
            "speed-signal-at-module": "arrives",
            "what-else-lost-speed": "brake-lamp-too",
        }.items()
    ],
    "tools": sorted(BOOK.words.tools),
}


def answer(document: dict[str, Any]) -> Triage:
    case = case_of(document, BOOK)
    return triage(
        BOOK, sheet_of(case, BOOK), tools=frozenset(case.tools), costs=case.costs, engine="reference"
    )


@st.composite
def cases(draw: st.DrawFn) -> dict[str, Any]:
    """A code and results of inspections, mostly of those that bear on its causes, abnormal ones preferred."""
    code = draw(st.sampled_from(CODES))
    rules = [rule for rule in BOOK.rules.values() if rule.observes and rule.observes.key == code]
    causes = sorted({cause for rule in rules for cause in rule.weights})
    near = sorted(
        {check for cause in causes for check in (*BOOK.proved_by[cause], *BOOK.causes[cause].before_buying)}
    )
    readings = []
    for name in draw(st.lists(st.sampled_from(near or sorted(BOOK.inspections)), max_size=14, unique=True)):
        results = BOOK.inspections[name].results
        words = (
            [item.id for item in results] + [item.id for item in results if not item.normal] + [CANNOT_TELL]
        )
        readings.append({"inspection": name, "result": draw(st.sampled_from(words))})
    replaced = draw(st.lists(st.sampled_from([BOOK.causes[cause].component for cause in causes]), max_size=1))
    return {"codes": [code], "readings": readings, "replaced": replaced, "tools": sorted(BOOK.words.tools)}


@pytest.mark.long(15)
@given(cases())
@example(SEVERAL_PROVEN)
@settings(max_examples=250, deadline=None, suppress_health_check=QUIET)
def test_no_part_is_named_without_a_failed_direct_inspection_and_all_that_comes_before_buying(
    document: dict[str, Any],
) -> None:
    verdict = answer(document).verdict
    if verdict.kind != REPAIR:
        return
    came = {item["inspection"]: item["result"] for item in document["readings"]}
    cause = BOOK.causes[verdict.cause]
    assert any(came.get(name) in BOOK.inspections[name].proves[cause.id] for name in BOOK.proved_by[cause.id])
    assert all(came.get(name, CANNOT_TELL) != CANNOT_TELL for name in cause.before_buying)


@pytest.mark.long(10)
@given(cases(), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None, suppress_health_check=QUIET)
def test_the_order_of_the_facts_does_not_matter(document: dict[str, Any], shuffle: random.Random) -> None:
    readings = list(document["readings"])
    shuffle.shuffle(readings)
    assert unordered(answer({**document, "readings": readings})) == unordered(answer(document))


def unordered(found: Triage) -> Triage:
    """Return an answer without the order in which its readings were taken, which its sheet keeps."""
    sheet = replace(found.sheet, readings=(), notes=tuple(sorted(found.sheet.notes)))
    return replace(found, sheet=sheet)


@given(cases())
@settings(max_examples=60, deadline=None, suppress_health_check=QUIET)
def test_withdrawing_a_reading_gives_back_the_former_answer(document: dict[str, Any]) -> None:
    readings = document["readings"]
    if not readings:
        return
    before = answer({**document, "readings": readings[:-1]})
    answer(document)
    assert answer({**document, "readings": readings[:-1]}) == before


@pytest.mark.long(15)
def test_from_a_code_alone_three_causes_a_first_look_without_tools_and_never_a_part() -> None:
    wrong = []
    for code in CODES:
        came = answer({"codes": [code]})
        if came.verdict.kind == REPAIR:
            wrong.append(f"{code}: a part")
        if came.verdict.kind == INSPECT and came.next is not None:
            tools = BOOK.inspections[came.next.inspection].tools
            if not all(BOOK.words.tools[tool].basic for tool in tools):
                wrong.append(f"{code}: {came.next.inspection} needs {', '.join(tools)}")
        else:
            wrong.append(f"{code}: no inspection proposed ({came.verdict.kind})")
        if len(came.hypotheses) < 3:
            wrong.append(f"{code}: {len(came.hypotheses)} causes")
    assert not wrong, "\n".join(wrong)


@pytest.mark.long(20)
@given(cases())
@settings(max_examples=250, deadline=None, suppress_health_check=QUIET)
def test_mending_never_becomes_replacing_parts_on_suspicion(document: dict[str, Any]) -> None:
    """Whatever is mended unproven was seen, is cheap, quick and harmless; without the look it is not."""
    got = answer(document)
    if got.verdict.kind != MEND:
        return
    cause, costs = BOOK.causes[got.verdict.cause], Costs()
    came = {item["inspection"]: item["result"] for item in document["readings"]}
    shown = [
        BOOK.inspections[name]
        for name in BOOK.proved_by[cause.id]
        if came.get(name) in BOOK.inspections[name].proves[cause.id]
    ]
    assert any(entry.kind == "visual" or cause.remedy.part_cost.high == 0 for entry in shown)
    assert not all(entry.kind == "swap" for entry in shown)
    assert cause.remedy.part_cost.high <= 0.1 * costs.refer_out and cause.remedy.minutes <= 30
    assert cause.remedy.action not in ("reprogram", "relearn", "refer", "nothing")
    assert {"airbag", "brakes", "fuel-pressure", "high-voltage"}.isdisjoint(cause.remedy.cautions)
    unseen = [item for item in document["readings"] if item["inspection"] not in BOOK.proved_by[cause.id]]
    without = answer({**document, "readings": unseen})
    assert (without.verdict.kind, without.verdict.cause) != (MEND, cause.id)
    mended = answer({**document, "mended": [{"cause": cause.id, "since": "comes-back"}]})
    assert mended.verdict.cause != cause.id
    assert answer({**document, "mended": [{"cause": cause.id}]}).verdict.kind == WATCH
