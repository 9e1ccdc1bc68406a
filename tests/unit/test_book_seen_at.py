"""Frequencies that stand at a cause: they are those of the row, with a place of their own."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from helpers_book import write_topics
from proveout.book.load import check, load_book
from proveout.cli.main import main

HOSE, EVAP, VALVE = "evap/hose.yaml", "evap/evap.yaml", "evap/valve.yaml"
RATE = "base_rate: 12.5 per 1000\n"
BOTH = "{hose-cracked: often, valve-leaks: seldom}"
SAID = (HOSE, RATE, RATE + "    seen_at: {code:P0455: often}\n")
LEFT = (EVAP, BOTH, "{valve-leaks: seldom}")

#: A cause of a shop's own, seen with what the book has.
SHOP = """\
components: [{id: clip, title: Clip}]
causes:
  - id: clip-lost
    title: Clip lost
    component: clip
    base_rate: 1 per 1000
    base_rate_source: own jobs
    seen_at: {hose-look=loose: 0.9, symptom:none-such: 0.1}
    remedy: {action: repair, minutes: 5}
inspections:
  - id: clip-look
    title: Clip is there
    kind: visual
    minutes: 2
    results:
      there: {is: normal, means: It holds.}
      gone: {is: abnormal, means: It is gone., shows: [clip-lost],
        seen_with: {clip-lost: 0.9}, otherwise: 0.01}
    steps: [Look.]
    source: own jobs
"""


def _shop(home: Path, text: str) -> Path:
    home.mkdir(parents=True)
    (home / "own.yaml").write_text(text, "utf-8")
    return home


def test_it_counts_as_if_it_stood_at_the_row_and_names_its_own_place(tmp_path: Path) -> None:
    plain = load_book(base=write_topics(tmp_path / "plain"))
    book = load_book(base=write_topics(tmp_path / "book", SAID, LEFT))
    ours, theirs = book.rules["code:P0455"], plain.rules["code:P0455"]
    assert dict(ours.weights) == dict(theirs.weights)
    assert (ours.because, ours.source, ours.otherwise) == (theirs.because, theirs.source, theirs.otherwise)
    assert set(ours.elsewhere) == {"hose-cracked"}
    place = ours.elsewhere["hose-cracked"]
    assert place.file.endswith(HOSE)
    assert "code:P0455" in Path(place.file).read_text("utf-8").splitlines()[place.line - 1]
    assert not theirs.elsewhere


def test_a_row_may_leave_all_of_its_frequencies_to_causes(tmp_path: Path) -> None:
    row = f"    seen_with: {BOTH}\n"
    text = "title: Valve leaks"
    valve = (VALVE, f"{text}\n", f"{text}\n    seen_at: {{code:P0455: seldom}}\n")
    book = load_book(base=write_topics(tmp_path / "book", SAID, valve, (EVAP, row, "")))
    assert dict(book.rules["code:P0455"].weights) == {"hose-cracked": 0.6, "valve-leaks": 0.1}
    assert book.rules["code:P0455"].place.file.endswith(EVAP)
    alone = check(base=write_topics(tmp_path / "alone", (EVAP, row, "")))
    assert "frequencies-missing" in {problem.check for problem in alone}


def test_a_code_seen_as_another_takes_what_causes_say_of_that_one(tmp_path: Path) -> None:
    said = "seen_as: {code: P0455, times: 0.5}, otherwise: 0.01"
    twin = f"  - {{id: P0456, meaning: Tiny., family: evap, {said}}}\n"
    book = load_book(base=write_topics(tmp_path, SAID, LEFT, (EVAP, "findings:\n", twin + "findings:\n")))
    assert dict(book.rules["code:P0456"].weights) == {"hose-cracked": 0.3, "valve-leaks": 0.05}


def test_a_layer_that_replaces_the_row_says_all_that_is_said_there(tmp_path: Path) -> None:
    base = write_topics(tmp_path / "book", SAID, LEFT)
    text = """\
rules:
  - replaces: code:P0455
    seen_with: {valve-leaks: 0.2}
    otherwise: 0.0005
    because: Ours.
    source: own jobs
"""
    book = load_book([_shop(tmp_path / "shop", text)], base=base)
    assert dict(book.rules["code:P0455"].weights) == {"valve-leaks": 0.2}


def test_a_layer_that_replaces_the_cause_keeps_what_it_does_not_state(tmp_path: Path) -> None:
    base = write_topics(tmp_path / "book", SAID, LEFT)
    cause = """\
causes:
  - id: hose-cracked
    replaces: hose-cracked
    title: Hose cracked
    component: hose
    base_rate: 3 per 1000
    base_rate_source: own jobs
    remedy: {action: repair, minutes: 10}
"""
    kept = load_book([_shop(tmp_path / "kept", cause)], base=base)
    assert kept.rules["code:P0455"].weights["hose-cracked"] == 0.6
    stated = cause + "    seen_at: {code:P0455: 0.1}\n"
    changed = load_book([_shop(tmp_path / "stated", stated)], base=base)
    assert changed.rules["code:P0455"].weights["hose-cracked"] == 0.1


def test_a_shop_adds_a_cause_to_rows_that_are_not_its_own(tmp_path: Path) -> None:
    base = write_topics(tmp_path / "book")
    good = SHOP.replace(", symptom:none-such: 0.1", "")
    book = load_book([_shop(tmp_path / "shop", good)], base=base)
    assert dict(book.rules["hose-look=loose"].weights) == {"hose-cracked": 0.3, "clip-lost": 0.9}


def test_one_file_states_the_sources_of_all_of_its_layer_and_of_no_other(tmp_path: Path) -> None:
    plain = load_book(base=write_topics(tmp_path / "plain"))
    said = "sources:\n  base_rate: from memory\n  inspections: common practice, no source\n"
    said += "  seen_with: common practice, no source\n"
    base = write_topics(tmp_path / "book", (HOSE, said, ""))
    assert "source-missing" in {problem.check for problem in check(base=base)}
    (base / "all.yaml").write_text("all_" + said, "utf-8")
    book = load_book(base=base)
    assert book.rules["hose-look=cracked"].source == plain.rules["hose-look=cracked"].source
    assert book.causes["hose-cracked"].base_rate_source == "from memory"
    own = _shop(
        tmp_path / "shop", SHOP.replace(", symptom:none-such: 0.1", "").replace("    source: own jobs\n", "")
    )
    assert "source-missing" in {problem.check for problem in check([own], base=base)}
    (base / "more.yaml").write_text("all_" + said, "utf-8")
    assert "stated-twice" in {problem.check for problem in check(base=base)}


@pytest.mark.parametrize(
    ("edits", "name", "file"),
    [
        ([SAID], "stated-twice", HOSE),
        ([LEFT, (HOSE, RATE, RATE + "    seen_at: {code:P0442: often}\n")], "seen-at-unknown", HOSE),
        ([LEFT, (HOSE, RATE, RATE + "    seen_at: {P0455: often}\n")], "schema-form", HOSE),
        ([LEFT, (HOSE, RATE, RATE + "    seen_at: {code:P0455: 2}\n")], "schema-value", HOSE),
    ],
)
def test_what_it_names_must_be_there_and_say_so_once(
    tmp_path: Path, edits: list[tuple[str, str, str]], name: str, file: str
) -> None:
    found = [p for p in check(base=write_topics(tmp_path, *edits)) if p.check == name]
    assert found
    assert found[0].place.file.endswith(file)
    assert found[0].place.line > 1


def test_show_names_the_file_and_line_of_each_frequency() -> None:
    load_book()
    shown = CliRunner().invoke(main, ["rules", "show", "code:P0420"]).stdout
    assert any("front-sensor-loose" in line and "rules/oxygen/" in line for line in shown.splitlines())
    assert "rules/catalyst/codes.yaml:" in shown


def test_a_rule_names_the_others_that_weigh_the_same_observation() -> None:
    """What a further rule weighs by the same result is not at this one's "none of these", and is said."""
    shown = CliRunner().invoke(main, ["rules", "show", "purge-valve-tick=silent"]).stdout
    besides = shown.partition("weighed besides by")[2]
    assert "circuits-purge-valve-tick-silent" in besides
    assert "purge-valve-tick=silent" not in besides
    concluding = CliRunner().invoke(main, ["rules", "show", "conclude-vent-circuit-code"]).stdout
    assert "weighed besides by" not in concluding
