"""What an audit once told wrongly, or did not tell: each as a test on the small book."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from helpers_book import write_book
from helpers_cli import proveout
from helpers_history import Story, a_case, file_of, sealed_anew, small_book
from proveout.audit.against import against
from proveout.audit.argument import arguments
from proveout.audit.chapters import chapters
from proveout.audit.findings import findings
from proveout.audit.replay import Shelf
from proveout.record import snapshot
from proveout.record.event import Event, digest_of
from proveout.record.verify import check
from proveout.show.audit import other_book_text, story_text


def shelf() -> Shelf:
    return Shelf(Path("none"), small_book())


def told(events: tuple[Event, ...], *, full: bool = False) -> str:
    known = shelf()
    text = story_text(chapters(events, known, arguments(events, known)), full, 100)
    return " ".join(text.split())


def test_a_wrong_repair_and_the_right_one_are_told_each_for_itself() -> None:
    text = told(a_case())
    first, second = text.split("2. Valve leaks: it held")
    assert first.startswith("1. Hose cracked: the trouble came back")
    assert "Hose is whole, as was proposed: whole" in first and "Stored again: P0455" in first
    assert "against the advice" in first and "The reason given: the hose was in stock." in first
    assert "Valve holds vacuum: -10 kPa, which means leaks" in second
    assert "bought for: Valve leaks" not in first and "The advice had said so." in second


def test_a_cause_inspected_before_a_repair_is_not_called_uninspected() -> None:
    second = arguments(a_case(last_look=False), shelf())[1]
    (hose,) = (other for other in second.alternatives if other.cause == "hose-cracked")
    assert "of the part before the repair" in hose.why


def test_what_points_to_a_rare_cause_is_not_denied() -> None:
    for item in arguments(a_case(), shelf()):
        ledgers = {ledger.cause: ledger for ledger in item.answer.ledgers}
        for other in item.alternatives:
            seen = [one.decibans for one in ledgers[other.cause].entries if one.what != "prior"]
            assert "nothing seen points to it" not in other.why or max(seen) < 0.5


def test_the_full_argument_gives_frequencies_and_sources() -> None:
    text = told(a_case(), full=True)
    assert re.search(r"seen with .*otherwise 0\.\d+; source: ", text)


def test_digits_as_printed_are_a_head() -> None:
    events = a_case()
    head = events[-1].digest
    for digits in (head[:16], head[:20], head):
        assert check(file_of(events), "x", digits).sound
    assert not check(file_of(events[:-1]), "x", head[:16]).sound


def test_no_message_helps_to_seal_a_changed_event() -> None:
    data = file_of(a_case()).replace(b"the hose was in stock", b"the hose was ordered")
    found = check(data, "x")
    assert not found.sound
    bad = next(event for event in found.events if event.kind == "purchase")
    right = digest_of(bad.n, bad.at, bad.kind, bad.previous, bad.body, bad.by)
    assert all(right not in str(problem) for problem in found.problems)


@pytest.mark.parametrize(
    ("kind", "at", "wanted"),
    [
        ("purchase", "2024-01-01T00:00:00Z", "clock-back"),
        ("purchase", "2038-01-01T00:00:00Z", "clock-jump"),
    ],
)
def test_clocks_that_jump_are_told(kind: str, at: str, wanted: str) -> None:
    events = list(a_case())
    place = next(i for i, event in enumerate(events) if event.kind == kind)
    old = events[place]
    events[place] = Event(old.n, at, old.kind, old.previous, old.body, old.digest, by=old.by)
    found = findings(sealed_anew(events), shelf().book_for)
    assert wanted in {one.check for one in found}


def test_another_book_is_told_by_verdicts_causes_and_rules(tmp_path: Path) -> None:
    edit = {"rules.yaml": [("weigh: {hose-cracked: 0.6}", "weigh: {hose-cracked: 0.9}")]}
    other = snapshot.book_of(snapshot.take((write_book(tmp_path / "rules", edit=edit),)))
    text = " ".join(other_book_text(against(a_case(), shelf(), other), 100).split())
    assert (
        "event 2, 2024-05-04T09:02:00Z: the same" in text
        and "another verdict: " in text
        and re.search(r"“Valve leaks”: \d+ % → 86 %", text)
    )
    assert "changed: “Hose cracked” 0.6 → 0.9" in text and "causes[" not in text


def test_totals_do_not_count_what_is_damaged(tmp_path: Path) -> None:
    cases = tmp_path / "cases"
    cases.mkdir()
    data = file_of(a_case())
    (cases / "good.yaml").write_bytes(data)
    changed = data.replace(b"confidence: 0.9", b"confidence: 0.8", 1)
    assert changed != data
    (cases / "bad.yaml").write_bytes(changed)
    found = proveout("cases", cases, "--totals", home=tmp_path)
    assert found.code == 1 and "bad.yaml" in found.err
    assert re.search(r"^ +1 .*confirmed, valve-leaks$", found.out, re.MULTILINE)
    again = proveout("cases", cases, "--totals", home=tmp_path)
    assert (again.code, again.out) == (1, found.out)


def test_why_names_only_inspections_that_were_made() -> None:
    story = Story()
    story.add("reading", {"inspection": "valve-holds", "value": "-10 kPa"}, advised=True)
    text = told(story.events)
    assert "Valve holds vacuum: -10 kPa" in text and "Hose is whole:" not in text
