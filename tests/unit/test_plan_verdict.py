"""The verdict and its reasons on a small made-up book: a valve, a hose, a module, and nothing wrong."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from helpers_plan import THE_CODE, sheet_of, valve_book
from proveout.model.advice import INSPECT, NONE, REFER, REPAIR, Triage
from proveout.model.atom import REPLACED, Atom
from proveout.model.case import Costs
from proveout.plan.advice import triage

BOOK = valve_book()
ALL = frozenset({"pump", "meter"})


def answer(
    results: Mapping[str, str] | None = None,
    *,
    tools: frozenset[str] = ALL,
    costs: Costs | None = None,
    more: tuple[Atom, ...] = (),
    codes: tuple[str, ...] = (THE_CODE,),
    repeated: tuple[str, ...] = (),
) -> Triage:
    sheet = sheet_of(results, book=BOOK, more=more, codes=codes, repeated=repeated)
    return triage(BOOK, sheet, tools=tools, costs=costs or Costs(), engine="reference")


def test_a_code_alone_never_proves_a_part() -> None:
    got = answer()
    assert got.verdict.kind == INSPECT
    assert got.verdict.cause == ""
    assert got.verdict.reasons[0].startswith("Not proven yet: “Valve stuck open”")
    assert "no inspection has shown it directly" in got.verdict.reasons[0]
    assert got.next is not None
    assert got.next.expected_saving > 0
    assert f"by {got.next.expected_saving:.0f} in your currency" in got.verdict.reasons[1]


def test_the_first_inspection_needs_no_tool_and_is_cheap() -> None:
    for tools in (ALL, frozenset[str]()):
        got = answer(tools=tools)
        assert got.next is not None
        assert BOOK.inspections[got.next.inspection].tools == ()
        assert got.next.minutes <= 6


def test_all_conditions_met_gives_repair() -> None:
    got = answer({"hose-look": "fine", "valve-holds": "leaks"})
    assert (got.verdict.kind, got.verdict.cause) == (REPAIR, "valve-stuck")
    assert "“Valve holds vacuum” showed it (“leaks”)" in got.verdict.reasons[0]
    assert got.next is None


def test_what_must_be_inspected_before_buying_is_asked_for() -> None:
    got = answer({"valve-holds": "leaks"})
    assert got.verdict.kind == INSPECT
    assert got.next is not None and got.next.inspection == "hose-look"
    assert (
        "“Look along the hose” must give a clear result before anything is bought" in got.verdict.reasons[0]
    )
    assert got.hypotheses[0].missing == ("hose-look",)


@pytest.mark.parametrize("untold", ["cannot-tell", "fine/cracked"])
def test_an_inspection_without_a_clear_result_does_not_count_as_made(untold: str) -> None:
    got = answer({"valve-holds": "leaks", "hose-look": untold})
    assert got.verdict.kind != REPAIR
    assert got.hypotheses[0].missing == ("hose-look",)
    assert got.next is not None and (got.next.inspection, got.next.again) == ("hose-look", True)
    assert "once more: it gave no clear result" in got.verdict.reasons[1]
    said = "told nothing" if untold == "cannot-tell" else "too near its limit"
    assert any(said in reason for reason in got.verdict.reasons)


def test_confidence_below_the_threshold_is_not_proof() -> None:
    results = {
        "hose-look": "fine",
        "valve-holds": "leaks",
        "module-drives": "fine",
        "long-drive": "sets-again",
        "seat-in": "bad",
    }
    sure = answer(results)
    assert sure.verdict.kind == REPAIR
    lead = sure.hypotheses[0].confidence
    strict = answer(results, costs=Costs(threshold=(1 + lead) / 2))
    assert strict.verdict.kind == REFER
    assert "proof asks for" in strict.verdict.reasons[0]


def test_a_passed_direct_inspection_is_no_proof() -> None:
    got = answer({"hose-look": "fine", "valve-holds": "holds"})
    valve = next(s for s in got.hypotheses if s.cause == "valve-stuck")
    assert (valve.direct, got.verdict.kind) == ("passed", INSPECT)


def test_a_cause_for_a_specialist_is_referred_once_proven() -> None:
    got = answer({"hose-look": "fine", "valve-holds": "holds", "module-drives": "bad"})
    assert (got.verdict.kind, got.verdict.cause) == (REFER, "module-dead")


def test_nothing_wrong_is_a_verdict_of_its_own() -> None:
    got = answer(
        {
            "hose-look": "fine",
            "valve-holds": "holds",
            "module-drives": "fine",
            "long-drive": "completes",
            "seat-in": "fine",
        }
    )
    assert (got.verdict.kind, got.verdict.cause) == (NONE, "all-well")


def test_two_proven_causes_are_both_named() -> None:
    got = answer(
        {
            "hose-look": "cracked",
            "valve-holds": "leaks",
            "module-drives": "fine",
            "seat-in": "bad",
            "long-drive": "sets-again",
        },
        costs=Costs(threshold=0.8),
    )
    assert got.verdict.kind == REPAIR
    assert {s.cause for s in got.hypotheses[:2]} == {"hose-cracked", "valve-stuck"}
    assert got.verdict.cause == got.hypotheses[0].cause
    other = BOOK.causes[got.hypotheses[1].cause].title
    assert f"{other} is proven as well" in " ".join(got.verdict.reasons)


def test_without_tools_the_case_is_referred_and_the_tools_are_named() -> None:
    got = answer(
        {"hose-look": "fine", "seat-in": "bad", "long-drive": "sets-again"},
        tools=frozenset(),
        costs=Costs(),
        repeated=("hose-look", "seat-in", "long-drive"),
    )
    assert (got.verdict.kind, got.verdict.cause) == (REFER, "")
    assert got.verdict.reasons[0].startswith("Not proven yet")
    assert "hand vacuum pump" in " ".join(got.verdict.reasons)


def test_a_tool_that_pays_for_itself_is_proposed() -> None:
    got = answer({"hose-look": "fine", "seat-in": "bad", "long-drive": "sets-again"}, tools=frozenset())
    assert got.tool is not None
    assert (got.tool.tool, got.tool.inspection, got.tool.price) == ("pump", "valve-holds", 37.5)
    assert got.tool.saving > got.tool.price
    assert answer({"hose-look": "fine"}, tools=ALL).tool is None
    cheap = Costs(refer_out=30.0)
    assert answer({"hose-look": "fine"}, tools=frozenset(), costs=cheap).tool is None


def test_a_replaced_part_is_marked_and_is_named_only_when_inspected_itself() -> None:
    done = Atom(REPLACED, "valve", "done")
    got = answer(more=(done,))
    valve = next(s for s in got.hypotheses if s.cause == "valve-stuck")
    plain = next(s for s in answer().hypotheses if s.cause == "valve-stuck")
    assert valve.replaced and not plain.replaced
    assert valve.confidence < plain.confidence
    assert any("replaced already" in reason for reason in got.verdict.reasons)
    shown = answer(
        {
            "hose-look": "fine",
            "valve-holds": "leaks",
            "module-drives": "fine",
            "seat-in": "bad",
            "long-drive": "sets-again",
        },
        more=(done,),
        costs=Costs(threshold=0.5),
    )
    assert (shown.verdict.kind, shown.verdict.cause) == (REPAIR, "valve-stuck")
    assert any("replaced before" in reason for reason in shown.verdict.reasons)


def test_a_code_that_no_rule_weighs_is_referred() -> None:
    got = answer(codes=("P0999",))
    assert (got.verdict.kind, got.hypotheses, got.next) == (REFER, (), None)
    assert "P0999" in got.verdict.reasons[0]


def test_nothing_to_go_on_and_nothing_found_are_told_apart() -> None:
    assert answer(codes=()).verdict.kind == NONE
    assert "nothing to go on" in answer(codes=()).verdict.reasons[0]
    normal = answer({"hose-look": "fine"}, codes=())
    assert normal.verdict.kind == NONE
    assert "Nothing abnormal" in normal.verdict.reasons[0]


EVERYTHING_SOUND = {
    "hose-look": "fine",
    "valve-holds": "holds",
    "module-drives": "fine",
    "seat-in": "bad",
    "long-drive": "sets-again",
}


def test_what_may_have_missed_the_fault_is_made_once_more_and_then_no_more() -> None:
    got = answer(EVERYTHING_SOUND)
    made: list[str] = []
    while got.next is not None:
        assert got.verdict.kind == INSPECT
        assert got.next.again and got.next.inspection not in made
        assert got.next.expected_saving > 0
        assert sum(outcome.probability for outcome in got.next.outcomes) == pytest.approx(1.0, abs=1e-9)
        assert "may have missed" in got.verdict.reasons[1]
        made.append(got.next.inspection)
        got = answer(EVERYTHING_SOUND, repeated=tuple(made))
    assert made[:2] == ["valve-holds", "hose-look"], "best chance over price, handling counted"
    assert (got.verdict.kind, got.verdict.cause) == (REFER, "")


def test_a_second_look_that_shows_the_fault_is_proof() -> None:
    got = answer({**EVERYTHING_SOUND, "valve-holds": "leaks"}, repeated=("valve-holds",))
    assert (got.verdict.kind, got.verdict.cause) == (REPAIR, "valve-stuck")


def test_a_second_look_is_as_likely_to_repeat_the_first_as_to_be_fresh() -> None:
    got = answer(EVERYTHING_SOUND, repeated=("valve-holds",))
    assert got.next is not None and got.next.inspection == "hose-look"
    lead = next(s for s in got.hypotheses if s.cause == "hose-cracked").confidence
    shown = next(o.probability for o in got.next.outcomes if o.result == "cracked")
    rule = next(r for r in BOOK.rules.values() if r.id == "hose-look-cracked")
    seen = rule.weights["hose-cracked"]
    assert rule.otherwise is not None
    fresh = 1 - (1 - rule.otherwise) * (1 - lead * seen)
    assert shown == pytest.approx(0.5 * fresh, abs=1e-3)


def test_an_explanation_outside_the_book_is_said() -> None:
    got = answer(EVERYTHING_SOUND, repeated=tuple(EVERYTHING_SOUND))
    assert got.not_in_book > got.hypotheses[0].confidence or got.verdict.kind == REFER
    assert got.verdict.kind == REFER


def test_contradictions_are_said_with_what_to_repeat() -> None:
    got = answer(
        {"hose-look": "cracked", "valve-holds": "leaks", "module-drives": "bad", "long-drive": "completes"}
    )
    assert got.sensitivity.surprises
    assert any("at odds with everything else" in reason for reason in got.verdict.reasons)


def test_outcomes_follow_the_book_and_share_out_the_probability() -> None:
    got = answer(tools=ALL)
    proposed = [p for p in (got.next, *got.others) if p is not None]
    hose = next(p for p in proposed if p.inspection == "hose-look")
    assert [o.result for o in hose.outcomes] == ["fine", "dusty", "cracked"]
    assert hose.outcomes[1].probability == 0.0
    assert sum(o.probability for o in hose.outcomes) == pytest.approx(1.0, abs=1e-9)
    assert hose.outcomes[2].leads_to == "hose-cracked"
    assert hose.opens == ("bay",)
    assert hose.minutes == 6.0
    assert hose.cost == pytest.approx(2.0)


def test_open_access_is_free() -> None:
    got = answer({"hose-look": "fine"})
    assert got.next is not None
    if got.next.inspection == "valve-holds":
        assert (got.next.minutes, got.next.opens) == (6.0, ())


def test_what_comes_first_is_proposed_first() -> None:
    got = answer({"hose-look": "fine", "valve-holds": "holds", "module-drives": "fine"})
    proposed = [p.inspection for p in (got.next, *got.others) if p is not None]
    assert "long-drive" not in proposed


def test_ledgers_and_standings_go_together() -> None:
    got = answer({"hose-look": "fine"})
    assert [ledger.cause for ledger in got.ledgers] == [s.cause for s in got.hypotheses]
    assert got.book_digest == "made-up"
    assert got.engine == "reference"
