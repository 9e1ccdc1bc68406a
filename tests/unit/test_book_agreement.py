"""Checks of what one entry says against others: each tells its bad example from the good one."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_book import write_book
from helpers_shipped import shipped_book
from proveout.book.load import checked_from_texts

TOPIC = """\
sources: {base_rate: from memory, inspections: from memory, limits: from memory, codes: from memory,
  seen_with: from memory, conclude: from memory}
components: [{id: lamp, title: Lamp}]
causes:
  - id: lamp-wire-open
    title: Wire of the lamp open
    component: lamp
    base_rate: 1 per 1000
    remedy: {action: repair, minutes: 9}
inspections:
  - id: lamp-drop
    title: Drop along the wire of the lamp
    kind: measurement
    minutes: 3
    reading: {quantity: voltage, unit: V, possible: "-0.1..18", limits: {good: ..0.2, poor: otherwise}}
    results:
      good: {is: normal, means: Good.}
      poor: {is: abnormal, means: Poor., shows: [lamp-wire-open], seen_with: {lamp-wire-open: 0.9}, otherwise: 0.01}
    steps: [Measure the drop.]
  - id: lamp-look
    title: Look at the lamp
    kind: visual
    minutes: 1
    results:
      lit: {is: normal, means: Lit.}
      dark: {is: abnormal, means: Dark., seen_with: {lamp-wire-open: 0.9}, otherwise: 0.05}
    steps: [Look at it.]
codes:
  - {id: P0135, meaning: Heater of bank 1., family: lamp, usually_with: [P0141], seen_with: {lamp-wire-open: 0.5},
    otherwise: 0.0005}
  - {id: P0155, meaning: Heater of bank 2., family: lamp, usually_with: [P0161], seen_with: {lamp-wire-open: 0.5},
    otherwise: 0.0005}
  - {id: P0141, meaning: Rear heater of bank 1., family: lamp, unweighed: not worked out}
  - {id: P0161, meaning: Rear heater of bank 2., family: lamp, unweighed: not worked out}
findings:
  - {id: lamp-told-and-seen, title: Told and seen, seen_with: {lamp-wire-open: 0.4}, otherwise: 0.0004}
rules:
  - id: conclude-lamp-told-and-seen
    when: {all: [{code: P0135}, {inspection: lamp-look, result: dark}]}
    conclude: lamp-told-and-seen
    because: Both.
    examples:
      fires: [{codes: [P0135], results: {lamp-look: dark}}]
      silent: [{codes: [P0135]}]
"""  # noqa: E501

#: Each check with the text that it refuses, in the place of one that it lets pass, and what is told.
BAD = [
    (
        "unsettled-cause",
        ", seen_with: {lamp-wire-open: 0.9}, otherwise: 0.01}",
        ", seen_with: {hose-cracked: 0.9}, otherwise: 0.01}",
        "do not say how often",
    ),
    (
        "unsettled-cause",
        "kind: measurement",
        "kind: measurement\n    not_for: [diesel]",
        "some of its vehicles",
    ),
    ("unsettled-cause", "kind: measurement", "kind: measurement\n    fits: [turbo]", "some of its vehicles"),
    ("background-above-part", "otherwise: 0.0004", "otherwise: 0.001", "0.0005 at most"),
    ("reversed-leads", '"-0.1..18"', '"-1..18"', "leads changed over"),
    ("wrong-bank", "usually_with: [P0141]", "usually_with: [P0161]", "P0161 under 'usually_with' is not"),
    ("unexplained-code", ", unweighed: not worked out}\n  - {id: P0161", "}\n  - {id: P0161", "P0141, which"),
    ("twin-inspections", "title: Look at the lamp", "title: Drop along the wire of the lamp", "the same as"),
    ("twin-inspections", "[Look at it.]", "[Measure the drop.]", "the same as"),
]


def _found(tmp_path: Path, text: str) -> list[tuple[str, str]]:
    base = write_book(tmp_path / "base")
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "lamp.yaml").write_text(text)
    _, found = checked_from_texts([tmp_path / "shop"], base=base)
    return [(p.check, p.saw) for p in found if p.place.file.endswith("lamp.yaml")]


def test_the_good_example_passes(tmp_path: Path) -> None:
    assert _found(tmp_path, TOPIC) == []


@pytest.mark.parametrize(("name", "good", "bad", "told"), BAD)
def test_a_bad_example_is_complained_of(tmp_path: Path, name: str, good: str, bad: str, told: str) -> None:
    assert TOPIC.count(good) == 1
    found = [saw for check_name, saw in _found(tmp_path, TOPIC.replace(good, bad)) if check_name == name]
    assert len(found) == 1
    assert told in found[0]


def test_both_banks_named_is_no_wrong_bank(tmp_path: Path) -> None:
    both = TOPIC.replace("usually_with: [P0141]", "usually_with: [P0161, P0141]")
    assert _found(tmp_path, both) == []


def test_the_own_twin_of_the_other_bank_is_no_wrong_bank(tmp_path: Path) -> None:
    assert _found(tmp_path, TOPIC.replace("usually_with: [P0141]", "usually_with: [P0155]")) == []


def test_every_shipped_code_has_a_rule_or_a_reason_why_not() -> None:
    from proveout.model.atom import CODE, Observable

    book = shipped_book()
    for code, entry in book.words.codes.items():
        assert bool(entry.unweighed) != (Observable(CODE, code) in book.weighing), code
