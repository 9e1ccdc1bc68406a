"""Checks of steps: what they lead to can be recorded, and nothing in them harms a part or a person."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from helpers_book import write_topics
from helpers_shipped import shipped_book
from proveout.book.load import checked_from_texts

VALVE = "evap/valve.yaml"
STEPS = "steps: [Pump., Wait.]"
RAISED = "    state: {engine: running, vehicle: on-stands, helper: sits at the key}\n"
LIMIT = "    damage_limit: At most 3 kPa of vacuum.\n"


def _told(home: Path, extra: str, step: str) -> list[tuple[str, str, int]]:
    """Return what is told of a step in the place of the shipped-shaped one: check, text and line."""
    base = write_topics(home, (VALVE, f"    {STEPS}", f'{extra}    steps: ["{step}"]'))
    _, found = checked_from_texts([], base=base)
    return [(p.check, p.saw, p.place.line) for p in found if p.place.file.endswith(VALVE)]


@pytest.mark.parametrize(
    ("name", "extra", "step", "saw"),
    [
        ("missing-result", "", "Look. If it is wet, dry it.", "If it is wet"),
        ("missing-result", "", "If the plug is still loose, push it home.", "loose"),
        ("missing-result", "", "If nothing moves, record stuck-half-way.", "'stuck-half-way'"),
        ("missing-result", "", "If it works, the result is follows.", "'follows'"),
        ("missing-result", "", "Look at the plug for green pins.", "green pins"),
        ("missing-result", "", "Listen close by for a tick, then wait.", "a tick"),
        ("missing-result", "", "Feel along the lead for chafing and heat.", "chafing and heat"),
        ("missing-result", "", "Move it, watch the needle and, if it sticks, tap it.", "it sticks"),
        ("missing-result", "", "Smell at it for burnt resin.", "burnt resin"),
        ("missing-result", "", "Look into the socket: browned plastic, slack pins.", "browned plastic"),
        ("above-damage-limit", LIMIT, "Raise to 7 kPa.", "7 kPa"),
        ("above-damage-limit", "    damage_limit: Not above 2,000 rpm.\n", "Hold 2,500 rpm.", "2500 rpm"),
        ("in-gear-on-stands", RAISED, "Put it into first and let it idle.", "Put it into first"),
        ("in-gear-on-stands", RAISED, "Let it idle in gear.", "in gear"),
        ("unplugged-undeclared", "    state: {key: off}\n", "Unplug the valve.", "Unplug"),
    ],
)
def test_a_bad_example_is_told_where_it_stands(
    tmp_path: Path, name: str, extra: str, step: str, saw: str
) -> None:
    found = [one for one in _told(tmp_path, extra, step) if one[0] == name]
    assert len(found) == 1
    assert saw in found[0][1]
    line = (tmp_path / VALVE).read_text("utf-8").splitlines()[found[0][2] - 1]
    assert step in line


@pytest.mark.parametrize(
    ("extra", "step"),
    [
        ("", "If it leaks, record leaks."),
        ("", "Listen for a hiss where air passes."),
        ("", "Watch it for ten minutes; if the needle is hard to see, light it."),
        ("", "Look for cracks first."),
        ("", "See that it is not cracked."),
        ("", "Not if it rattles."),
        ("", "If it cannot be reached, answer cannot-tell."),
        ("", "Record what it reads."),
        (LIMIT, "Raise to 2.5 kPa."),
        (LIMIT, "Never raise it to 7 kPa."),
        (LIMIT, "Key on: 12 V."),
        (RAISED, "Never put it into gear."),
        ("    state: {engine: driven}\n", "Drive in first gear."),
        ("    state: {key: off}\n", "Never unplug it with the key on."),
        ("    state: {unplugged: [the valve], put_back: true}\n", "Unplug the valve."),
    ],
)
def test_what_is_in_order_passes(tmp_path: Path, extra: str, step: str) -> None:
    names = {one[0] for one in _told(tmp_path, extra, step)}
    assert not names & {
        "missing-result",
        "above-damage-limit",
        "in-gear-on-stands",
        "unplugged-undeclared",
    }


def test_a_result_for_any_fault_stands_for_each(tmp_path: Path) -> None:
    step = "Look at the plug for green pins."
    other = (VALVE, "means: It passes air.", "means: It passes air, or its plug is poor.")
    base = write_topics(tmp_path, other, (VALVE, f"    {STEPS}", f'    steps: ["{step}"]'))
    assert "missing-result" not in {p.check for p in checked_from_texts([], base=base)[1]}


def test_what_drips_at_a_gauge_is_by_the_way_and_at_a_look_the_find(tmp_path: Path) -> None:
    """An inspection with a reading has its finds in figures; whoever looks for drips there keeps safe."""
    assert "missing-result" not in {
        one[0] for one in _told(tmp_path / "a", "", "Prime it and look for drips.")
    }
    hose = ("evap/hose.yaml", "steps: [Look.]", "steps: [Look for drips.]")
    found = checked_from_texts([], base=write_topics(tmp_path / "b", hose))[1]
    assert [p.check for p in found if "hose-look" in p.saw] == ["missing-result"]


def test_a_caution_that_allows_more_than_the_damage_limit_is_told(tmp_path: Path) -> None:
    """The caution said 7 kPa, the inspection 3: whoever read only the caution pushed the oil seals out."""
    write_topics(tmp_path)
    vocabulary = next(path for path in tmp_path.rglob("*.yaml") if "id: hot" in path.read_text("utf-8"))
    text = vocabulary.read_text("utf-8")
    start = text.index("text:", text.index("id: hot"))
    vocabulary.write_text(text[:start] + "text: At most 7 kPa; " + text[start + 6 :], "utf-8")
    found = [one for one in _told_of(tmp_path) if one[0] == "above-damage-limit"]
    assert [saw for _, saw in found] == ["valve-holds: 7 kPa, above its damage limit"]


def _told_of(home: Path) -> list[tuple[str, str]]:
    valve = home / VALVE
    valve.write_text(valve.read_text("utf-8").replace(f"    {STEPS}", f"{LIMIT}    {STEPS}"), "utf-8")
    return [(p.check, p.saw) for p in checked_from_texts([], base=home)[1]]


def test_no_sentence_of_an_inspection_names_a_result_by_its_id() -> None:
    """Whoever reads the steps sees results in words: record “was loose”, not was-loose."""
    found = []
    for entry in shipped_book().inspections.values():
        ids = {result.id for result in entry.results if "-" in result.id}
        for text in (*entry.steps, *entry.false_readings, entry.leads, entry.damage_limit):
            words = re.findall(r"(?<![\w-])[a-z0-9]+(?:-[a-z0-9]+)+(?![\w-])", text)
            found += [(entry.id, word) for word in words if word in ids]
    assert not found
