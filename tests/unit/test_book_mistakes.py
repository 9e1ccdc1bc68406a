"""A hundred mistakes in a rule file, and what is said of each: none passes in silence, none without a place.

All answers are kept in ``mistakes.txt`` beside this file; ``PROVEOUT_KEEP_MISTAKES=1`` writes it.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers_book import CLEAN, write_book
from proveout.book.load import checked_from_texts

KEPT = Path(__file__).with_name("mistakes.txt")

#: File, what stands there, what is typed instead. All are slips of one hand at one place.
EDITS: list[tuple[str, str, str]] = [
    ("components.yaml", "title: Shut-off valve", "tittle: Shut-off valve"),
    ("components.yaml", "id: valve,", "id: Valve,"),
    ("components.yaml", "id: valve,", "id: shut off valve,"),
    ("components.yaml", "id: hose,", "id: valve,"),
    ("components.yaml", "words: [solenoid]", "words: solenoid"),
    ("components.yaml", "words: [solenoid]", "words: [solenoid, Solenoid]"),
    ("components.yaml", "new_part_bad: 0.01", "new_part_bad: 1 %"),
    ("components.yaml", "new_part_bad: 0.01", "new_part_bad: 3"),
    ("components.yaml", "title: Hose,", "title: Hose"),
    ("components.yaml", "title: Hose,", "title: ,"),
    ("components.yaml", "{id: hose,", "{id: hose, id: hose,"),
    ("components.yaml", "[solenoid]", "[solenoid"),
    ("components.yaml", "[solenoid]}", "[solenoid]"),
    ("components.yaml", "title: Shut-off valve", 'title: "Shut-off valve'),
    ("components.yaml", "title: Shut-off valve", "title: 'Shut-off valve"),
    ("components.yaml", "title: Shut-off valve", "title: Shut-off: valve"),
    ("components.yaml", "title: Shut-off valve", "title: *valve"),
    ("components.yaml", "title: Shut-off valve", "title: &v Shut-off valve"),
    ("components.yaml", "title: Shut-off valve", "title: !!str Shut-off valve"),
    ("components.yaml", "- {id: hose", "\t- {id: hose"),
    ("components.yaml", "- {id: hose", "---\n- {id: hose"),
    ("components.yaml", "- {id: hose", "{id: hose"),
    ("causes.yaml", "component: valve", "component: vlave"),
    ("causes.yaml", "component: valve", "component: [valve]"),
    ("causes.yaml", "component: valve", "components: valve"),
    ("causes.yaml", "base_rate: 20 per 1000", "base_rate: 20"),
    ("causes.yaml", "base_rate: 20 per 1000", "base_rate: 2 %"),
    ("causes.yaml", "base_rate: 20 per 1000", "base_rate: 0 per 1000"),
    ("causes.yaml", "base_rate: 20 per 1000", "base_rate: 2000 per 1000"),
    ("causes.yaml", "base_rate: 20 per 1000", "base_rate: twenty per 1000"),
    ("causes.yaml", "base_rate_source: from memory", "source: from memory"),
    ("causes.yaml", "at_least: 12 y", "at_least: 12"),
    ("causes.yaml", "at_least: 12 y", "at_least: 12 km"),
    ("causes.yaml", "at_least: 12 y", "at_least: 1200 y"),
    ("causes.yaml", "at_least: 12 y", "above: 12 y"),
    ("causes.yaml", "fact: vehicle.age", "fact: vehicle.years"),
    ("causes.yaml", "fact: vehicle.age, at_least: 12 y", "fact: vehicle.mileage, at_least: 40.000 km"),
    ("causes.yaml", "times: 1.5", "times: 0"),
    ("causes.yaml", "times: 1.5", "times: -2"),
    ("causes.yaml", "times: 1.5", "time: 1.5"),
    ("causes.yaml", "recent_work: tank-out", "recent_work: tank-off"),
    ("causes.yaml", "action: replace", "action: replcae"),
    ("causes.yaml", "part: shut-off valve, ", ""),
    ("causes.yaml", "part_cost: 30..60", "part_cost: 60..30"),
    ("causes.yaml", "part_cost: 30..60", "part_cost: 30-60"),
    ("causes.yaml", "part_cost: 30..60", "part_cost: about 40"),
    ("causes.yaml", "minutes: 20", "minutes: -20"),
    ("causes.yaml", "minutes: 20", "minutes: 20 min"),
    ("causes.yaml", "minutes: 20, ", ""),
    ("causes.yaml", "access: [bay]", "access: [boot]"),
    ("causes.yaml", "cautions: [hot]", "cautions: [hott]"),
    ("causes.yaml", "before_buying: [valve-holds]", "before_buying: [valve-hold]"),
    ("causes.yaml", "before_buying: [valve-holds]", "before_buying: valve-holds"),
    ("causes.yaml", "after_repair: [Clear the codes; none comes back.]", "after_repair: Clear the codes."),
    ("causes.yaml", "- id: hose-cracked", "- id: valve-leaks"),
    ("inspections.yaml", "kind: measurement", "kind: measure"),
    ("inspections.yaml", "valve-leaks: [leaks]", "valve-leaks: [leak]"),
    ("inspections.yaml", "valve-leaks: [leaks]", "valve-leaks: [holds]"),
    ("inspections.yaml", "valve-leaks: [leaks]", "valve-leak: [leaks]"),
    ("inspections.yaml", "tools: [pump]", "tools: [pumps]"),
    ("inspections.yaml", "minutes: 6", "minutes: six"),
    ("inspections.yaml", "consumables: 0..2", "consumables: 2..0"),
    ("inspections.yaml", "after: [hose-look]", "after: [valve-holds]"),
    ("inspections.yaml", "after: [hose-look]", "after: [hose-see]"),
    ("inspections.yaml", "quantity: pressure", "quantity: presure"),
    ("inspections.yaml", "unit: kPa", "unit: V"),
    ("inspections.yaml", "unit: kPa", "unit: kPaa"),
    ("inspections.yaml", "relative_to: atmosphere\n", "relative_to: sea\n"),
    ("inspections.yaml", "    relative_to: atmosphere\n", ""),
    ("inspections.yaml", "possible: -101.3..200", "possible: 200..-101.3"),
    ("inspections.yaml", "possible: -101.3..200", "possible: 0..200"),
    ("inspections.yaml", "holds: ..-40", "holds: ..-400"),
    ("inspections.yaml", "holds: ..-40", "hold: ..-40"),
    ("inspections.yaml", "holds: ..-40", "holds: below -40"),
    ("inspections.yaml", "leaks: otherwise", "leaks: -39.."),
    ("inspections.yaml", "    limits_source: common practice, no source\n", ""),
    ("inspections.yaml", "holds: {is: normal,", "holds: {is: good,"),
    ("inspections.yaml", "leaks: {is: abnormal,", "leaks: {is: normal,"),
    ("inspections.yaml", "means: It seals.", "mean: It seals."),
    ("inspections.yaml", "means: A crack.", "means: A crack, wide."),
    ("inspections.yaml", "steps: [Look.]", "steps: []"),
    ("inspections.yaml", "steps: [Look.]", "steps: Look."),
    ("inspections.yaml", "id: hose-look", "id: valve-holds"),
    ("symptoms.yaml", "words: [stinks]", "words: [stinks, stinks]"),
    ("symptoms.yaml", "title: Smell,", ""),
    ("findings.yaml", "id: open-system", "id: opened-system"),
    ("findings.yaml", "id: wet", "id: wet-x"),
    ("tools.yaml", "basic: false", "basic: perhaps"),
    ("tools.yaml", "price: 25..50", "price: cheap"),
    ("access.yaml", "minutes: 2", "minutes: 2..3"),
    ("evap.codes.yaml", "- id: P0442", "- id: P442"),
    ("evap.codes.yaml", "- id: P0442", "- id: p0442"),
    ("evap.codes.yaml", "- id: P0442", "- id: PO442"),
    ("evap.codes.yaml", "usually_with: [P0442]", "usually_with: [P0443]"),
    (
        "rules.yaml",
        "when: {inspection: valve-holds, result: leaks}",
        "when: {inspection: valve-holds, result: leak}",
    ),
    ("rules.yaml", "when: {inspection: valve-holds, result: leaks}", "when: {inspection: valve-holds}"),
    (
        "rules.yaml",
        "when: {inspection: valve-holds, result: leaks}",
        "when: {inspection: valve-holds, result: holds}",
    ),
    ("rules.yaml", "weigh: {valve-leaks: almost-always}", "weigh: {valve-leak: almost-always}"),
    ("rules.yaml", "weigh: {valve-leaks: almost-always}", "weigh: {valve-leaks: allways}"),
    ("rules.yaml", "weigh: {valve-leaks: almost-always}", "weigh: {valve-leaks: 1}"),
    ("rules.yaml", "weigh: {valve-leaks: almost-always}", "weigh: {valve-leaks: 0}"),
    ("rules.yaml", "weigh: {valve-leaks: almost-always}", "weigh: {valve-leaks: 97}"),
    ("rules.yaml", "weigh: {valve-leaks: almost-always}", "weight: {valve-leaks: almost-always}"),
    ("rules.yaml", "  otherwise: rarely\n", ""),
    ("rules.yaml", "otherwise: rarely", "otherwise: rare"),
    ("rules.yaml", "because: A closed valve passes no air.\n", "because:\n"),
    ("rules.yaml", "fires: [{results: {valve-holds: leaks}}]", "fires: []"),
    ("rules.yaml", "none: [{code: P0455}]", "none: [{code: P0442}]"),
    ("rules.yaml", "{symptom: smell}", "{symptom: smells}"),
    ("rules.yaml", "conclude: open-system", "conclude: open-systm"),
]


def answers(home: Path) -> Iterator[tuple[str, list[str]]]:
    """Return each mistake with what is said of it, places without the directory."""
    for number, (file, right, wrong) in enumerate(EDITS, 1):
        assert right in CLEAN[file], (file, right)
        book = write_book(home / str(number), edit={file: [(right, wrong)]})
        _, problems = checked_from_texts(base=book)
        name = f"{number}. {file}: {right!r} -> {wrong!r}"
        yield name, [str(problem).replace(f"{book}/", "") for problem in problems]


def test_a_hundred_mistakes_are_all_told_of_at_their_places(tmp_path: Path) -> None:
    told = list(answers(tmp_path))
    assert len(told) >= 100
    assert [name for name, said in told if not said] == [], "passed in silence"
    lost = [name for name, said in told if not all(":" in one.split(" ")[0] for one in said)]
    assert lost == [], "without a place"
    text = "".join(f"{name}\n" + "".join(f"    {one}\n" for one in said) for name, said in told)
    if os.environ.get("PROVEOUT_KEEP_MISTAKES"):
        KEPT.write_text(text, "utf-8")
    assert text == KEPT.read_text("utf-8")


@pytest.mark.parametrize("number", range(len(EDITS)))
def test_each_mistake_is_one_of_its_own(number: int) -> None:
    assert EDITS.count(EDITS[number]) == 1
