"""Phrases of the book that lead to another entry than their own, or to two."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from typing import Any, Protocol

from proveout.intake.index import NOTHING, Index, index_of, phrases_of, plain_text
from proveout.intake.resolve import called
from proveout.intake.tokens import MOST, sentences
from proveout.intake.words import clause_of, match
from proveout.model.entries import Vocabulary
from proveout.model.problem import Problem


class Called(Protocol):
    """What has names for all that people say: a book, or its draft."""

    @property
    def words(self) -> Vocabulary:
        """What people complain of, parts and tools."""

    @property
    def inspections(self) -> Mapping[str, Any]:
        """Inspections by id."""

    @property
    def causes(self) -> Mapping[str, Any]:
        """Causes by id."""


def stray_phrases(book: Called) -> tuple[Problem, ...]:
    """Return a complaint for every title and word that, said by itself, is not taken for its own entry only.

    What people complain of is looked for in sentences, all three vocabularies at once; parts, tools,
    inspections and causes are asked for by name, each kind by itself.
    """
    words = book.words
    index = index_of(words)
    twins = _said_alike(index)
    texts = Counter(phrase[2] for phrase in index["phrases"])
    complaints = (words.symptoms, words.circumstances, words.recent_work)
    names: tuple[Mapping[str, Any], ...] = (words.components, words.tools, book.inspections, book.causes)
    found = [problem for terms in complaints for problem in _stray(index, terms, texts, twins)]
    return tuple(sorted([*found, *(problem for terms in names for problem in _shared(terms))]))


def _stray(
    index: Index, terms: Mapping[str, Any], texts: Mapping[str, int], twins: Mapping[str, list[str]]
) -> Iterator[Problem]:
    """Complain of phrases that lead astray.

    Args:
        index: of all vocabularies.
        terms: of one of them.
        texts: how many phrases have each text.
        twins: the texts of which another entry has the very words, with both entries.
    """
    for term in terms.values():
        for phrase in phrases_of(term):
            if others := twins.get(plain_text(phrase)):
                yield _problem(term, phrase, others)
            elif texts[plain_text(phrase)] == 1 and is_best_whole(phrase):
                continue
            else:
                found, _ = match((phrase,), index)
                taken = [item.id for item in found if item.taken and not item.negated]
                if taken != [term.id] or len(found) > 1:
                    leads = [key for item in found for key in (item.id, *(other.id for other in item.others))]
                    yield _problem(term, phrase, leads)


def _said_alike(index: Index) -> dict[str, list[str]]:
    """Return the texts of which another entry has the very words, in another form: "won't" and "will not"."""
    alike: dict[tuple[Any, ...], list[tuple[str, str]]] = {}
    for entry, words, text, opens, _ in index["phrases"]:
        kind, key = index["entries"][entry][:2]
        if kind != NOTHING:
            said = (opens, *((word, denied) for word, denied, _ in words))
            alike.setdefault(said, []).append((key, text))
    shared = (pairs for pairs in alike.values() if len({key for key, _ in pairs}) > 1)
    return {text: [key for key, _ in pairs] for pairs in shared for _, text in pairs}


def _shared(terms: Mapping[str, Any]) -> Iterator[Problem]:
    """Complain of names that are those of another entry, too; what is nobody else's leads to its own."""
    for term in terms.values():
        for phrase in phrases_of(term):
            found = called(phrase, terms)
            if found != (term.id,):
                yield _problem(term, phrase, found)


def _problem(term: Any, phrase: str, others: Iterable[str]) -> Problem:
    seen = " and ".join([key for key in dict.fromkeys(others) if key != term.id][:3]) or "nothing"
    saw = f"“{phrase}” of {term.id}, which leads to {seen}"
    mend = "reword it, or take it from one of the two"
    return Problem(term.place, "stray-phrase", saw, "a phrase that leads to its own entry only", mend)


@lru_cache(maxsize=MOST)
def is_best_whole(phrase: str) -> bool:
    """Say whether a phrase of one entry only is taken for it in any case, whatever else the book holds.

    As a whole it is worth the weight of all its words less one part; cut up it is worth no more than that
    weight less two. So the whole goes first, and the phrase itself scores more than any other can by more
    than what makes it clear. What that does not hold for must be tried: several sentences, and a phrase that
    is not read to its ends, such as one that begins with "and".
    """
    told = list(sentences(phrase))
    return (
        len(told) == 1 and bool(told[0].tokens) and plain_text(clause_of(told[0].text)) == plain_text(phrase)
    )
