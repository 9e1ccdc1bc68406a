"""What people say is understood: phrases from trade knowledge, by someone who had not read the book's words.

Source of the phrases: common practice, no source. They are split in half by the SHA-256 of the phrase; only
the working half may be looked at while words or matcher are changed, of the other half only its score.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from msgspec.structs import replace

from helpers_shipped import shipped_book
from proveout.intake.index import Index, index_of, index_of_names, phrases_of, plain_text
from proveout.intake.stray import is_best_whole, stray_phrases
from proveout.intake.tokens import sentences
from proveout.intake.words import match
from proveout.model.entries import Term, Vocabulary

HERE = Path(__file__).parent
#: Least share right without asking, and greatest share wrongly taken.
RIGHT, WRONG = 0.92, 0.01


@cache
def indexes() -> dict[str, Index]:
    words = shipped_book().words
    return {
        "complaint": index_of(words),
        "component": index_of_names("component", words.components),
        "tool": index_of_names("tool", words.tools),
    }


def outcome(phrase: dict[str, Any]) -> str:
    """Say how a phrase was understood: right, asked or wrong."""
    found, _ = match((phrase["said"],), indexes()[phrase["of"]])
    taken = {("-" if item.negated else "") + item.id for item in found if item.taken} - set(
        phrase.get("also", ())
    )
    asked = any(not item.taken for item in found)
    ways = [set(way.split("&")) for way in phrase["means"]]
    entries = [way for way in ways if way not in ({"ask"}, {"none"})]
    if taken:
        if any(way <= taken for way in entries) and taken <= set().union(*entries):
            return "right"
        return "asked" if any(taken <= way for way in entries) else "wrong"
    return "right" if {"ask" if asked else "none"} in ways else "asked"


@pytest.mark.parametrize("half", ["working", "held-back"])
def test_phrases_are_understood(half: str) -> None:
    phrases = yaml.safe_load((HERE / f"phrases-{half}.yaml").read_text(encoding="utf-8"))
    assert len(phrases) >= 150
    score = Counter(outcome(phrase) for phrase in phrases)
    share = {key: count / len(phrases) for key, count in score.items()}
    assert share["right"] >= RIGHT and share.get("wrong", 0.0) <= WRONG, dict(score)


def test_every_phrase_of_the_book_leads_to_its_own_entry_only() -> None:
    assert [str(problem) for problem in stray_phrases(shipped_book())] == []


def test_a_phrase_that_need_not_be_tried_leads_to_its_own_entry_all_the_same() -> None:
    index, words = indexes()["complaint"], shipped_book().words
    texts = Counter(phrase[2] for phrase in index["phrases"])
    cut = [
        (term.id, phrase)
        for terms in (words.symptoms, words.circumstances, words.recent_work)
        for term in terms.values()
        for phrase in phrases_of(term)
        if texts[plain_text(phrase)] == 1 and is_best_whole(phrase)
        if any(token.cut for token in next(sentences(phrase)).tokens[1:])
    ]
    assert len(cut) > 300
    for own, phrase in cut[::11]:
        found, rest = match((phrase,), index)
        assert [(item.id, item.taken, item.negated) for item in found] == [(own, True, False)], phrase
        assert not rest


@pytest.mark.parametrize("phrase", ["and it squeals", "", "squeals. Shakes", "..."])
def test_a_phrase_that_is_not_read_to_its_ends_must_be_tried(phrase: str) -> None:
    assert not is_best_whole(phrase)


def test_every_entry_has_several_words_for_it() -> None:
    book = shipped_book()
    words = book.words
    kinds: dict[str, Mapping[str, Any]] = {
        "symptom": words.symptoms,
        "circumstance": words.circumstances,
        "recent work": words.recent_work,
        "component": words.components,
        "tool": words.tools,
        "inspection": book.inspections,
    }
    few = {
        f"{kind} {key}": term.words
        for kind, terms in kinds.items()
        for key, term in terms.items()
        if len(term.words) < 2
    }
    assert few == {}


def test_no_name_of_an_inspection_reads_as_a_result() -> None:
    book = shipped_book()
    results = {plain_text(result.id) for entry in book.inspections.values() for result in entry.results}
    names = {plain_text(name) for entry in book.inspections.values() for name in phrases_of(entry)}
    assert not results & names


@pytest.mark.parametrize(
    ("words", "seen"),
    [
        ((("a", ("won't shift",)), ("b", ("will not shift",))), {"a", "b"}),
        ((("a", ("rough when warm",)), ("b", ("rough until warm",))), set()),
        ((("a", ("smell of oil",)), ("b", ("smell",))), set()),
        ((("a", ("smell",)), ("b", ("smells",))), {"a", "b"}),
    ],
)
def test_phrases_that_lead_to_another_entry_or_to_two_are_complained_of(
    words: tuple[tuple[str, tuple[str, ...]], ...], seen: set[str]
) -> None:
    terms = {key: Term(key, f"The thing called {key}{key}", said) for key, said in words}
    book = replace(shipped_book(), words=Vocabulary(symptoms=terms))
    found = {problem.saw.split(" of ")[-1].split(",")[0] for problem in stray_phrases(book)}
    assert found & set(terms) == seen


def test_a_name_of_two_entries_of_one_kind_is_complained_of_in_every_kind() -> None:
    book = shipped_book()
    vocabulary = book.words
    for kind in ("components", "tools"):
        terms = dict(getattr(vocabulary, kind))
        one, two = list(terms)[:2]
        terms[two] = replace(terms[two], words=(*terms[two].words, terms[one].title.upper()))
        told = stray_phrases(replace(book, words=replace(vocabulary, **{kind: terms})))
        assert {one, two} == {
            entry for entry in (one, two) for problem in told if f"of {entry}," in problem.saw
        }
    for kind, entries in (("inspections", book.inspections), ("causes", book.causes)):
        one, two = list(entries)[:2]
        entry = replace(entries[two], title=entries[one].title)
        told = stray_phrases(replace(book, **{kind: {**entries, two: entry}}))
        assert {one, two} == {key for key in (one, two) for problem in told if f"of {key}," in problem.saw}
