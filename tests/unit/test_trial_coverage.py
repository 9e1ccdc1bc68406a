"""What examples and cases reach of a small book, counted by hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from helpers_book import write_book, write_topics
from proveout.book.load import load_book
from proveout.model.atom import FINDING, SYMPTOM
from proveout.model.book import Book
from proveout.show.covered import covered_document, covered_text
from proveout.text.compose import compose
from proveout.text.schema import validate
from proveout.trial.cases import try_case
from proveout.trial.coverage import (
    CLEARED,
    IN_PLAY,
    LEADS,
    PROVEN,
    causes_short_of,
    nothing,
    one_sided,
    reach_of_case,
    reach_of_examples,
    share,
    share_of,
    silent_rules,
    speaking,
)
from proveout.trial.examples import try_examples


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return load_book(base=write_book(tmp_path))


def test_a_case_reaches_the_rules_of_its_ledgers_and_those_that_conclude(book: Book) -> None:
    found = reach_of_case({"codes": ["P0442"], "symptoms": ["smell"]}, book)
    assert found.cases == 1 and found.unread == 0
    assert found.rules["system-open"] == found.rules["open-weighs"] == 1
    assert found.rules["large-leak"] == 0
    assert found.causes["hose-cracked", LEADS] == found.causes["hose-cracked", IN_PLAY] == 1
    assert found.causes["valve-leaks", LEADS] == 0


def test_how_far_causes_come(book: Book) -> None:
    cleared = reach_of_case(
        {"codes": ["P0455"], "tools": ["pump"], "results": {"hose-look": "whole", "valve-holds": "holds"}},
        book,
    )
    assert {how for cause, how in cleared.causes if cause == "valve-leaks"} >= {IN_PLAY, CLEARED}
    proven = reach_of_case({"codes": ["P0455"], "results": {"hose-look": "cracked"}}, book)
    assert proven.causes["hose-cracked", PROVEN] == 1
    assert causes_short_of(book, proven, PROVEN) == ["valve-leaks"]


def test_examples_see_conditions_both_ways(book: Book) -> None:
    found = reach_of_examples(book, ["system-open", "rain-wets"])
    assert found.cases == 4
    sided = {(rule.id, atom.kind): held for rule, atom, held in one_sided(book, found)}
    assert ("system-open", SYMPTOM) not in sided
    assert all(not held for (_, kind), held in sided.items() if kind != FINDING)
    speaking = {"system-open", "rain-wets", "open-weighs"}  # the last one weighs what the first concludes
    assert {rule.id for rule in silent_rules(book, found)} == set(book.rules) - speaking
    assert share(book, found) == pytest.approx(3 / len(book.rules))


def test_reach_adds_up_and_is_told(book: Book) -> None:
    both = nothing()
    for document in ({"codes": ["P0442"]}, {"codes": ["P0442"], "results": {"no-such-look": "fine"}}):
        both.add(reach_of_case(document, book))
    assert (both.cases, both.unread) == (2, 1)
    document = covered_document(book, both)
    assert not validate(compose(json.dumps(document), "out"), "covered")
    text = covered_text(book, both, 1)
    assert "2 examples and cases tried, 1 of them cannot be read." in text
    assert f"Rules that never speak ({len(silent_rules(book, both))})" in text and "more: --most" in text


def test_the_share_that_trials_tell_is_that_of_what_they_reach(tmp_path: Path) -> None:
    """`rules test --least` and `rules coverage --least` count alike."""
    book = load_book(base=write_topics(tmp_path))
    document = {"codes": ["P0442"], "symptoms": ["smell"], "expect": {"verdict": "inspect"}}
    spoke: set[str] = set()
    tried = [*try_examples(book, seen=lambda chained: spoke.update(f.rule for f in chained.fired))]
    node = compose(json.dumps(document), "case")
    tried.append(try_case("case", node, book, seen=lambda answer: spoke.update(speaking(answer))))
    both = reach_of_examples(book, book.rules)
    both.add(reach_of_case(document, book))
    assert both.cases == len(tried) and 0 < share_of(book, spoke) == share(book, both) < 1
