"""Every check refuses a book spoiled in its one way, at the right line, and lets the clean book pass."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_book import rule, write_book
from proveout.book.checks import CHECKS, WHOLE_BOOK_CHECKS
from proveout.book.load import check

#: check's name, file, text replaced, its replacement (one fault each).
SPOILED = [
    ("unknown-id", "causes.yaml", "component: valve", "component: valv"),
    ("unknown-id", "causes.yaml", "before_buying: [valve-holds]", "before_buying: [valve-hold]"),
    ("unknown-id", "causes.yaml", "recent_work: tank-out", "recent_work: tank-in"),
    ("unknown-id", "inspections.yaml", "tools: [pump]", "tools: [pumps]"),
    ("unknown-id", "access.yaml", "cautions: [hot]", "cautions: [hott]"),
    ("unknown-id", "rules.yaml", "{code: P0442}, {symptom", "{code: P0443}, {symptom"),
    ("unknown-id", "rules.yaml", "conclude: wet", "conclude: wett"),
    ("unknown-id", "rules.yaml", "weigh: {hose-cracked: 0.6}", "weigh: {hose-crakked: 0.6}"),
    ("unknown-id", "rules.yaml", "silent: [{symptoms: [smell]}]", "silent: [{symptoms: [smel]}]"),
    ("unknown-result", "rules.yaml", "result: cracked", "result: craked"),
    (
        "unknown-result",
        "rules.yaml",
        "fires: [{results: {hose-look: cracked",
        "fires: [{results: {hose-look: craked",
    ),
    ("unknown-result", "inspections.yaml", "proves: {valve-leaks: [leaks]}", "proves: {valve-leaks: [leak]}"),
    ("unknown-result", "inspections.yaml", "leaks: otherwise}", "leak: otherwise}"),
    (
        "reserved-result",
        "inspections.yaml",
        "whole: {is",
        "cannot-tell: {is: normal, means: x}\n    whole: {is",
    ),
    ("contradictory", "rules.yaml", "none: [{code: P0455}]", "none: [{code: P0442}]"),
    (
        "contradictory",
        "rules.yaml",
        "when: {inspection: hose-look, result: cracked}",
        "when: {all: [{inspection: hose-look, result: cracked}, {inspection: hose-look, result: loose}]}",
    ),
    (
        "contradictory",
        "rules.yaml",
        "when: {happens: in-rain}",
        "when: {all: [{fact: vehicle.age, at_least: 12 y}, {fact: vehicle.age, below: 12 y}]}",
    ),
    (
        "contradictory",
        "rules.yaml",
        "when: {happens: in-rain}",
        "when: {all: [{fact: vehicle.fuel, is: petrol}, {fact: vehicle.fuel, is: diesel}]}",
    ),
    (
        "contradictory",
        "rules.yaml",
        "when: {happens: in-rain}",
        "when: {all: [{fact: vehicle.age, at_least: 12 y}], none: [{fact: vehicle.age, at_least: 10 y}]}",
    ),
    (
        "contradictory",
        "rules.yaml",
        "when: {happens: in-rain}",
        "when: {any: [{happens: in-rain}], none: [{happens: in-rain}]}",
    ),
    (
        "finding-cycle",
        "rules.yaml",
        "when: {happens: in-rain}",
        "when: {all: [{happens: in-rain}, {finding: wet}]}",
    ),
    ("unreachable", "rules.yaml", "conclude: wet", "conclude: open-system"),
    ("observes-one", "rules.yaml", "{finding: wet}]", "{symptom: smell}]"),
    ("observes-one", "rules.yaml", "when: {code: P0455}", "when: {recent_work: tank-out}"),
    (
        "context-only",
        "rules.yaml",
        "{all: [{code: P0455}, {finding: wet}]}",
        "{all: [{code: P0455}, {finding: wet}], none: [{code: P0442}]}",
    ),
    (
        "context-only",
        "rules.yaml",
        "{all: [{code: P0455}, {finding: wet}]}",
        "{all: [{code: P0455}, {finding: wet}], any: [{symptom: smell}, {recent_work: tank-out}]}",
    ),
    ("counted-twice", "causes.yaml", "{recent_work: tank-out, times: 4}", "{code: P0455, times: 4}"),
    (
        "weighs-normal",
        "rules.yaml",
        "when: {inspection: hose-look, result: loose}",
        "when: {inspection: hose-look, result: whole}",
    ),
    ("missing-otherwise", "rules.yaml", "  otherwise: almost-never\n", ""),
    ("frequency-sum", "rules.yaml", "weigh: {hose-cracked: 0.3}", "weigh: {hose-cracked: 0.4}"),
    ("frequency-sum", "rules.yaml", "otherwise: 0.01\n", "otherwise: 0.995\n"),
    ("unused-entry", "symptoms.yaml", "- {id: smell", "- {id: smoke, title: Smoke}\n- {id: smell"),
    (
        "unused-entry",
        "circumstances.yaml",
        "- {id: in-rain",
        "- {id: in-snow, title: In snow}\n- {id: in-rain",
    ),
    (
        "unused-entry",
        "recent-work.yaml",
        "- {id: tank-out",
        "- {id: oil-change, title: Oil}\n- {id: tank-out",
    ),
    ("unused-entry", "findings.yaml", "- {id: wet", "- {id: dry, title: Dry}\n- {id: wet"),
    ("unused-entry", "components.yaml", "- {id: hose", "- {id: lid, title: Lid}\n- {id: hose"),
    (
        "unused-entry",
        "tools.yaml",
        "- {id: pump",
        "- {id: saw, title: Saw, basic: true, price: 0}\n- {id: pump",
    ),
    ("unused-entry", "access.yaml", "- {id: bay", "- {id: roof, title: Roof, minutes: 1}\n- {id: bay"),
    ("unused-entry", "cautions.yaml", "- {id: hot", "- {id: wet, title: Wet, text: Dry it.}\n- {id: hot"),
    ("unused-result", "rules.yaml", "when: {inspection: hose-look, result: loose}", "when: {code: P0442}"),
    (
        "unproved-cause",
        "inspections.yaml",
        "proves: {hose-cracked: [cracked]}",
        "proves: {valve-leaks: [cracked]}",
    ),
    (
        "unweighed-cause",
        "causes.yaml",
        "- id: hose-cracked\n",
        "- {id: lost, title: L, component: hose, base_rate: 1 per 1000, base_rate_source: x,"
        " remedy: {action: repair, minutes: 1}}\n- id: hose-cracked\n",
    ),
    ("proves-normal", "inspections.yaml", "proves: {valve-leaks: [leaks]}", "proves: {valve-leaks: [holds]}"),
    (
        "after-cycle",
        "inspections.yaml",
        "title: Hose is whole\n",
        "title: Hose is whole\n  after: [valve-holds]\n",
    ),
    (
        "before-buying",
        "inspections.yaml",
        "title: Hose is whole\n",
        "title: Hose is whole\n  after: [hose-look]\n",
    ),
    ("limits-gap", "inspections.yaml", "{holds: ..-40, leaks: otherwise}", "{holds: ..-40, leaks: -39..200}"),
    ("limits-gap", "inspections.yaml", "{holds: ..-40, leaks: otherwise}", "{holds: ..-40, leaks: -40..100}"),
    (
        "limits-otherwise",
        "inspections.yaml",
        "{holds: ..-40, leaks: otherwise}",
        "{holds: otherwise, leaks: otherwise}",
    ),
    ("limits-reach", "inspections.yaml", "{holds: ..-40,", "{holds: ..-140,"),
    ("range-order", "inspections.yaml", "possible: -101.3..200", "possible: 200..-101.3"),
    ("range-order", "causes.yaml", "part_cost: 30..60", "part_cost: 60..30"),
    ("relative-to", "inspections.yaml", "    relative_to: atmosphere\n", ""),
    ("unknown-unit", "inspections.yaml", "unit: kPa", "unit: kPaa"),
    ("wrong-dimension", "inspections.yaml", "unit: kPa", "unit: V"),
    ("fact-unit", "causes.yaml", "at_least: 12 y", "at_least: 12 km"),
    ("base-rate", "causes.yaml", "base_rate: 20 per 1000", "base_rate: 1000 per 1000"),
    ("remedy-minutes", "causes.yaml", "{action: repair, minutes: 10}", "{action: repair}"),
    ("remedy-part", "causes.yaml", "part: shut-off valve, ", ""),
    ("duplicate-id", "findings.yaml", "- {id: wet", "- {id: open-system, title: Again}\n- {id: wet"),
    ("replaces", "findings.yaml", "- {id: wet", "- {id: wet, replaces: wet"),
]


@pytest.mark.parametrize(("name", "file", "old", "new"), SPOILED)
def test_each_spoiled_book_is_refused(tmp_path: Path, name: str, file: str, old: str, new: str) -> None:
    home = write_book(tmp_path / "b", edit={file: [(old, new)]})
    problems = [p for p in check(base=home) if p.check == name]
    assert problems, [str(p) for p in check(base=home)]
    for problem in problems:
        assert problem.place.file.startswith(str(home))
        assert problem.place.line > 0
        assert problem.saw
        assert problem.mend


def test_the_clean_book_passes(tmp_path: Path) -> None:
    assert [str(p) for p in check(base=write_book(tmp_path))] == []


def test_a_reference_is_complained_of_where_it_stands(tmp_path: Path) -> None:
    home = write_book(tmp_path, edit={"inspections.yaml": [("tools: [pump]", "tools: [ pumpp ]")]})
    problem = next(p for p in check(base=home) if p.check == "unknown-id")
    assert (problem.place.line, problem.place.column) == (5, 12)
    assert "did you mean 'pump'?" in problem.mend


LARGE = ", ".join("{recent_work: tank-out}" for _ in range(17))

#: check's name, a further rule.
FURTHER = [
    ("too-many-conditions", rule("many", f"{{all: [{LARGE}]}}", "conclude: wet")),
    ("too-many-alternatives", rule("many", f"{{any: [{LARGE}, {LARGE}]}}", "conclude: wet")),
    ("equal-rank", rule("again", "{code: P0455}", "weigh: {valve-leaks: often}")),
    (
        "equal-rank",
        rule("again", "{code: P0455}", "weigh: {valve-leaks: often}")
        + rule("thrice", "{code: P0455}", "weigh: {valve-leaks: often}"),
    ),
    ("equal-rank", rule("again", "{code: P0455}", "weigh: {hose-cracked: rarely}; otherwise: 0.001")),
    (
        "equal-rank",
        rule("aside", "{all: [{code: P0455}, {recent_work: tank-out}]}", "weigh: {hose-cracked: often}"),
    ),
]


@pytest.mark.parametrize(("name", "text"), FURTHER)
def test_each_further_rule_is_refused(tmp_path: Path, name: str, text: str) -> None:
    problems = [p for p in check(base=write_book(tmp_path, add=text)) if p.check == name]
    assert problems
    assert problems[0].place.line > 0


#: Further rules that look like conflicts and are none.
ACCEPTED = [
    rule("more", "{all: [{code: P0455}, {replaced: hose}]}", "weigh: {valve-leaks: often}"),
    rule("dry", "{all: [{code: P0455}], none: [{finding: wet}]}", "weigh: {hose-cracked: often}"),
    rule("status", "{code: P0455, status: pending}", "weigh: {valve-leaks: often}"),
    rule(
        "young",
        "{all: [{code: P0442}, {fact: vehicle.age, below: 5 y}]}",
        "weigh: {valve-leaks: 0.2}; otherwise: 0.001",
    )
    + rule(
        "old",
        "{all: [{code: P0442}, {fact: vehicle.age, at_least: 5 y}]}",
        "weigh: {valve-leaks: 0.4}; otherwise: 0.002",
    ),
    rule(
        "both",
        "{all: [{code: P0455}, {finding: wet}, {recent_work: tank-out}]}",
        "weigh: {hose-cracked: often}",
    )
    + rule("aside", "{all: [{code: P0455}, {recent_work: tank-out}]}", "weigh: {hose-cracked: 0.5}"),
]


@pytest.mark.parametrize("text", ACCEPTED)
def test_what_is_no_conflict_is_let_pass(tmp_path: Path, text: str) -> None:
    assert [str(p) for p in check(base=write_book(tmp_path, add=text))] == []


def test_frequencies_in_contexts_that_exclude_each_other_do_not_sum(tmp_path: Path) -> None:
    young = ", {fact: vehicle.age, below: 5 y}]}"
    old = ", {fact: vehicle.age, at_least: 5 y}]}"
    cracked, loose = "{inspection: hose-look, result: cracked}", "{inspection: hose-look, result: loose}"
    seen = (
        f"when: {cracked}\n  weigh: {{hose-cracked: 0.6}}",
        f"when: {{all: [{cracked}{young}\n  weigh: {{hose-cracked: 0.8}}",
    )
    off = (f"when: {loose}", f"when: {{all: [{loose}{old}")
    home = write_book(tmp_path, edit={"rules.yaml": [seen, off]})
    assert [str(p) for p in check(base=home)] == []


def test_many_contexts_are_bounded(tmp_path: Path) -> None:
    """A hundred rules in each of two states are ten thousand contexts; with more states there is no end."""
    text = "".join(
        rule(
            f"{result}-{n}",
            f"{{all: [{{inspection: hose-look, result: {result}}}, {{fact: frame.rpm, at_least: {n} rpm}}]}}",
            "weigh: {hose-cracked: 0.6}",
        )
        for result in ("cracked", "loose")
        for n in range(100)
    )
    assert "frequency-sum" in {p.check for p in check(base=write_book(tmp_path, add=text))}


def test_one_fault_does_not_make_others(tmp_path: Path) -> None:
    """An entry with a fault of its own still counts as declared."""
    home = write_book(tmp_path, edit={"inspections.yaml": [("kind: visual", "kind: seen")]})
    assert {p.check for p in check(base=home)} == {"schema-choice"}


def test_every_check_has_a_page_of_its_own() -> None:
    for one in CHECKS + WHOLE_BOOK_CHECKS:
        assert one.__doc__ is not None
        assert one.__doc__.startswith("Refuse ")
