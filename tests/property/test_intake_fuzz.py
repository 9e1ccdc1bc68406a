"""Random phrases and answers: no fault, nothing taken that says nothing, nothing lost."""

from __future__ import annotations

import random
import re
from functools import cache

from helpers_shipped import shipped_book
from proveout.intake.fit import AHEAD
from proveout.intake.index import Index, index_of, phrases_of
from proveout.intake.resolve import choose
from proveout.intake.tokens import light_words, sentences
from proveout.intake.words import match
from proveout.measure.distance import distance
from proveout.terminal.questions import understood

PHRASES = 20_000
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
    for _ in range(2_000):
        said = " ".join(chance.choice(_FILLERS) for _ in range(chance.randrange(1, 10)))
        assert not any(item.taken for item in match((said,), index())[0]), said


def test_answers_of_any_kind_give_an_entry_or_none() -> None:
    chance = random.Random(14)
    tools = shipped_book().words.tools
    for _ in range(1_000):
        said = random_phrase(chance)[:40]
        found = choose(said, tools)
        assert found.id in tools or found.id == ""
        assert all(key in tools for key in found.near)
        try:
            value, unit = distance(said)
            assert value >= 0 and unit in ("", "km", "mi")
        except ValueError as error:
            assert str(error)


def test_what_is_clear_needs_no_question() -> None:
    assert understood("rough idle, no smell of fuel", index()) == {
        "symptoms": ["rough-idle"],
        "symptoms_absent": ["fuel-smell"],
    }
