"""Random phrases and answers: no fault, nothing taken that says nothing, nothing lost."""

from __future__ import annotations

import os
import random
import re
from collections.abc import Mapping
from functools import cache

import pytest
from msgspec.structs import replace

from helpers_shipped import shipped_book
from proveout.intake.answers import meant
from proveout.intake.fit import AHEAD
from proveout.intake.index import Index, index_of, phrases_of
from proveout.intake.resolve import Named, choose
from proveout.intake.tokens import light_words, sentences
from proveout.intake.words import match
from proveout.measure.distance import distance
from proveout.model.atom import CANNOT_TELL
from proveout.model.case import SET_ASIDE
from proveout.model.entries import Result
from proveout.terminal.questions import understood

#: The long run is PROVEOUT_PHRASES=20000; in every run a part of it is done.
PHRASES = int(os.environ.get("PROVEOUT_PHRASES", "3000"))
_MARKS = " ,.;:!?-'’\"()/\n\t\x00%&é漢🚗0123456789"
_FILLERS = (
    "yes",
    "the",
    "a",
    "it",
    "is",
    "not",
    "no",
    "and",
    "when",
    "very",
    "I",
    "don't",
    "know",
    "since",
    "week",
)


@cache
def index() -> Index:
    return index_of(shipped_book().words)


@cache
def vocabulary() -> tuple[str, ...]:
    words = shipped_book().words
    said = (
        phrase
        for terms in (words.symptoms, words.circumstances)
        for term in terms.values()
        for phrase in phrases_of(term)
    )
    return tuple(sorted({word for phrase in said for word in phrase.split()}))


def random_phrase(chance: random.Random) -> str:
    """Return noise, fillers, words of the book in any order, or a mixture."""
    kind = chance.randrange(4)
    if kind == 0:
        return "".join(
            chance.choice("abcdefghijklmnopqrstuvwxyz" + _MARKS) for _ in range(chance.randrange(60))
        )
    pool = _FILLERS if kind == 1 else vocabulary() if kind == 2 else (*_FILLERS, *vocabulary())
    return " ".join(chance.choice(pool) for _ in range(chance.randrange(1, 14)))


def test_nothing_is_taken_that_says_nothing_and_nothing_is_lost() -> None:
    chance = random.Random(12)
    for _ in range(PHRASES):
        said = random_phrase(chance)
        found, lost = match((said,), index())
        telling = {token.word for part in sentences(said) for token in part.tokens} - light_words()
        if not telling:
            assert not any(item.taken for item in found), said
        for item in found:
            assert 0 < item.score <= 1 + 2 * AHEAD and item.clause in said, (said, item)
        kept = " ".join([*(item.clause for item in found), *lost])
        words = re.findall(r"\w{4,}", said.casefold())
        left_out = {word for word in words if word not in kept.casefold()} - {"then", "also", "plus"}
        assert not left_out, (said, left_out)


def test_fillers_alone_are_never_taken() -> None:
    chance = random.Random(13)
    for _ in range(PHRASES):
        said = " ".join(chance.choice(_FILLERS) for _ in range(chance.randrange(1, 10)))
        assert not any(item.taken for item in match((said,), index())[0]), said


def test_answers_of_any_kind_give_an_entry_or_none() -> None:
    chance = random.Random(14)
    book = shipped_book()
    kinds: tuple[Mapping[str, Named], ...] = (book.words.tools, book.words.components, book.inspections)
    for _ in range(PHRASES // 3):
        said = random_phrase(chance)[:40]
        for terms in kinds if chance.random() < 0.1 else kinds[:1]:
            found = choose(said, terms)
            assert found.id in terms or found.id == ""
            assert all(key in terms for key in found.near)
        try:
            value, unit = distance(said)
            assert value >= 0 and unit in ("", "km", "mi")
        except ValueError as error:
            assert str(error)


@pytest.mark.parametrize("said", ["", "?", "the", "when", "it is not", "yes", "I don't know", "漢", "🚗"])
def test_an_answer_that_says_nothing_names_no_entry(said: str) -> None:
    book = shipped_book()
    words = book.words
    kinds: tuple[Mapping[str, Named], ...] = (
        words.symptoms, words.circumstances, words.recent_work, words.components, words.tools,
        book.inspections, book.causes,
    )  # fmt: skip
    assert [choose(said, terms).id for terms in kinds] == [""] * len(kinds)


def test_any_answer_to_an_inspection_is_a_result_a_reason_or_left_as_it_is() -> None:
    chance = random.Random(15)
    inspections = list(shipped_book().inspections.values())
    for _ in range(PHRASES // 3):
        entry = chance.choice(inspections)
        words = random_phrase(chance)[:40].split()
        found = meant(words, entry)
        known = {result.id for result in entry.results} | {CANNOT_TELL, *SET_ASIDE}
        assert found == tuple(words) or (len(found) == 1 and found[0] in known), (words, found)


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("moved", "moves"),
        ("Moves", "moves"),
        ("it moves", "moves"),
        ("does not move", "does-not-move"),
        ("doesn't move", "does-not-move"),
        ("can't tell", "cannot-tell"),
        ("I can't reach it", "cannot-reach"),
        ("I don't have that tool", "no-tool"),
        ("not today", "not-today"),
        ("it might move perhaps", None),
        ("3", None),
    ],
)
def test_a_result_is_understood_as_people_say_it(said: str, means: str | None) -> None:
    plain = next(entry for entry in shipped_book().inspections.values() if entry.reading is None)
    entry = replace(plain, results=(Result("moves", True), Result("does-not-move", False)))
    assert meant(said.split(), entry) == ((means,) if means else tuple(said.split()))


def test_what_is_clear_needs_no_question() -> None:
    assert understood("rough idle, no smell of fuel", index()) == {
        "symptoms": ["rough-idle"],
        "symptoms_absent": ["fuel-smell"],
    }
