"""A vocabulary's phrases cut to stems and found by word, as plain lists and dicts that a file can hold."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any, TypedDict

from proveout.intake.english import SAYS_NOTHING
from proveout.intake.tokens import MOST as MOST_TEXTS
from proveout.intake.tokens import TIME, light_words, sentence
from proveout.model.atom import HAPPENS, SYMPTOM, WORK
from proveout.model.book import Book
from proveout.model.entries import Vocabulary

#: Kind of what is understood and says nothing.
NOTHING = "nothing"
#: Weight of a word that says little, and the range of all others.
LIGHT, LEAST, MOST = 0.2, 0.55, 1.0


class Index(TypedDict):
    """The phrases of one vocabulary.

    Attributes:
        entries: kind, id and title of each entry, and all words that its phrases use.
        phrases: of each phrase the number of its entry, its words, each with 1 where it is denied and 1
            where the phrase may be cut before it, its text without marks, whether it begins with a word
            such as "when", and its weight.
        where: for each word the numbers of the phrases that hold it.
        weight: how much each word tells, 0 to 1.
    """

    entries: list[list[Any]]
    phrases: list[list[Any]]
    where: dict[str, list[int]]
    weight: dict[str, float]


def index_of(vocabulary: Vocabulary) -> Index:
    """Return the index of what people complain of: symptoms, circumstances and recent work."""
    kinds: tuple[tuple[str, Mapping[str, Any]], ...] = (
        (SYMPTOM, vocabulary.symptoms),
        (HAPPENS, vocabulary.circumstances),
        (WORK, vocabulary.recent_work),
    )
    entries = [
        (kind, term.id, term.title, phrases_of(term)) for kind, terms in kinds for term in terms.values()
    ]
    return _indexed([*entries, (NOTHING, NOTHING, "", SAYS_NOTHING)])


@lru_cache(maxsize=2)
def _kept(_digest: str, words: _Unhashed) -> Index:
    return index_of(words.vocabulary)


class _Unhashed:
    """A vocabulary that plays no part in the key of a cache."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary

    def __hash__(self) -> int:
        return 0

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Unhashed)


def index_for(book: Book) -> Index:
    """Return the index of a book's vocabulary; made once for each book that has a digest."""
    return _kept(book.digest, _Unhashed(book.words)) if book.digest else index_of(book.words)


def index_of_names(kind: str, terms: Mapping[str, Any]) -> Index:
    """Return the index of one vocabulary, such as the components."""
    return _indexed((kind, key, term.title, phrases_of(term)) for key, term in terms.items())


def phrases_of(term: Any) -> tuple[str, ...]:
    """Return what an entry is called: its title and its words."""
    return (term.title, *getattr(term, "words", ()))


def _indexed(entries: Iterable[tuple[str, str, str, Iterable[str]]]) -> Index:
    index = Index(entries=[], phrases=[], where={}, weight={})
    for number, (kind, key, title, said) in enumerate(entries):
        index["entries"].append([kind, key, title, []])
        for text in dict.fromkeys(map(plain_text, said)):
            _add(index, number, text)
    index["weight"] = _weights(index)
    for phrase in index["phrases"]:
        phrase.append(sum(weight(word[0], index) for word in phrase[1]))
    return index


def weight(word: str, index: Index) -> float:
    """Return how much a word tells; what the book has never heard may change all."""
    return LIGHT if word.startswith("#") else MOST if word == TIME else index["weight"].get(word, MOST)


@lru_cache(maxsize=MOST_TEXTS)
def plain_text(text: str) -> str:
    """Return a text in lower case, without marks, its words one blank apart."""
    return " ".join(re.findall(r"\w+", text.casefold().replace("'", "").replace("’", "")))


def _add(index: Index, entry: int, text: str) -> None:
    number = len(index["phrases"])
    tokens = sentence(text).tokens
    if tokens:
        words = [[token.word, int(token.denied), int(token.cut)] for token in tokens]
        index["phrases"].append([entry, words, text, int(tokens[0].cut)])
    for word in dict.fromkeys(token.word for token in tokens):
        index["where"].setdefault(word, []).append(number)
        if word not in (spoken := index["entries"][entry][3]):
            spoken.append(word)


def _weights(index: Index) -> dict[str, float]:
    """Weigh each word by how few entries use it (inverse document frequency), scaled."""
    light = light_words()
    whole = math.log(len(index["entries"]) + 1.0)
    weights = {}
    for word, places in index["where"].items():
        users = len({index["phrases"][place][0] for place in places})
        rare = 1.0 - math.log(users) / whole
        weights[word] = LIGHT if word in light else LEAST + (MOST - LEAST) * rare
    return weights
