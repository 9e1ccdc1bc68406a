"""What a person types for an entry of a vocabulary: its id, title, one of its words, or how one begins."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache, partial
from typing import Protocol

from msgspec import Struct
from rapidfuzz import fuzz, process

from proveout.intake.index import Index, index_of_names, phrases_of, plain_text
from proveout.intake.tokens import light_words, sentences
from proveout.intake.words import match

#: Shortest text that is taken as the beginning of a name.
_BEGINNING = 3
#: Entries named at most where none is meant for certain.
_NEAR = 6
#: Least likeness, in percent, of a name that is suggested.
_ALIKE = 65


class Named(Protocol):
    """An entry with a title; most have words, too."""

    @property
    def title(self) -> str:
        """What it is called."""


class Choice(Struct, frozen=True):
    """The entry that is meant, "" where none is for certain, and then those that may be, likeliest first."""

    id: str
    near: tuple[str, ...] = ()


class Titled(Struct, frozen=True):
    """A name of its own, for what the book knows by its id only, such as monitors and results."""

    title: str
    words: tuple[str, ...] = ()


def titled(ids: Iterable[str]) -> dict[str, Titled]:
    """Return ids the titles that they read like."""
    return {key: Titled(key.replace("-", " ")) for key in ids}


class _Terms:
    """Entries, known again by being the very same mapping, so that what was made of them can be kept."""

    def __init__(self, terms: Mapping[str, Named]) -> None:
        self.terms = terms

    def __hash__(self) -> int:
        return id(self.terms)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Terms) and other.terms is self.terms


@lru_cache(maxsize=16)
def _names(of: _Terms) -> Mapping[str, tuple[str, ...]]:
    """Return all that each entry is called, plainly."""
    return {key: tuple(map(plain_text, (key, *phrases_of(term)))) for key, term in of.terms.items()}


@lru_cache(maxsize=16)
def _by_name(of: _Terms) -> Mapping[str, tuple[str, ...]]:
    """Return, for all that entries are called, those that are called so."""
    found: dict[str, list[str]] = {}
    for key, said in _names(of).items():
        for name in dict.fromkeys(said):
            found.setdefault(name, []).append(key)
    return {name: tuple(keys) for name, keys in found.items()}


@lru_cache(maxsize=16)
def _index(of: _Terms) -> Index:
    return index_of_names("name", of.terms)


def called(given: str, terms: Mapping[str, Named]) -> tuple[str, ...]:
    """Return the entries of which a text is the whole id, title or a whole word."""
    hyphened = "-".join(given.casefold().split())
    if hyphened in terms:
        return (hyphened,)
    return _by_name(_Terms(terms)).get(plain_text(given) or " ", ())


def choose(given: str, terms: Mapping[str, Named]) -> Choice:
    """Say which entry is meant: by id, title or word, else by how one begins, else by the words in it."""
    same = list(called(given, terms))
    if len(same) == 1:
        return Choice(same[0])
    wanted = plain_text(given)
    if not wanted:
        return Choice("")
    names = _names(_Terms(terms))
    if not same and len(wanted) >= _BEGINNING and _tells(given):
        begun = [key for key, said in names.items() if any(name.startswith(wanted) for name in said)]
        inside = [key for key, said in names.items() if any(f" {wanted}" in name for name in said)]
        if len(begun) == 1 and not set(inside) - set(begun):
            return Choice(begun[0])
        begun.sort(key=lambda key: not names[key][0].startswith(wanted))  # ids that begin so go first
        same = list(dict.fromkeys([*begun, *inside])) if begun else []
    if same:
        return Choice("", tuple(same[:_NEAR]))
    return _by_words(given, terms) or Choice("", _alike(wanted, names))


def _tells(given: str) -> bool:
    """Say whether a text holds a word that says more than "when" or "the"."""
    return any(token.word not in light_words() for part in sentences(given) for token in part.tokens)


def _by_words(given: str, terms: Mapping[str, Named]) -> Choice | None:
    found, lost = match((given,), _index(_Terms(terms)))
    if len(found) == 1 and not lost and found[0].taken and not found[0].negated:
        return Choice(found[0].id)
    near = [key for item in found for key in (item.id, *(other.id for other in item.others))]
    return Choice("", tuple(dict.fromkeys(near))[:_NEAR]) if near else None


def _alike(wanted: str, names: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Return the entries whose names are spelled most like a text, likeliest first."""
    keys = [(name, key) for key, said in names.items() for name in said]
    score = partial(
        process.extract, wanted, scorer=fuzz.token_sort_ratio, score_cutoff=_ALIKE, limit=4 * _NEAR
    )
    return tuple(dict.fromkeys(keys[place][1] for _, _, place in score([name for name, _ in keys])))[:_NEAR]


def resolve(given: str, terms: Mapping[str, Named]) -> str:
    """Return the id that is meant, or the text itself where none is meant for certain."""
    return choose(given, terms).id or given
