"""What a person types for an entry of a vocabulary: its id, title, one of its words, or how one begins."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Protocol

from msgspec import Struct
from rapidfuzz import fuzz, process

from proveout.intake.index import index_of_names, phrases_of, plain_text
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


def choose(given: str, terms: Mapping[str, Named]) -> Choice:
    """Say which entry is meant: by id, title or word, else by how one begins, else by the words in it."""
    hyphened = "-".join(given.casefold().split())
    if hyphened in terms:
        return Choice(hyphened)
    wanted = plain_text(given)
    if not wanted:
        return Choice("")
    names = {key: [plain_text(name) for name in (key, *phrases_of(term))] for key, term in terms.items()}
    same = [key for key, said in names.items() if wanted in said]
    if len(same) == 1:
        return Choice(same[0])
    if not same and len(wanted) >= _BEGINNING:
        begun = [key for key, said in names.items() if any(name.startswith(wanted) for name in said)]
        inside = [key for key, said in names.items() if any(f" {wanted}" in name for name in said)]
        if len(begun) == 1 and not set(inside) - set(begun):
            return Choice(begun[0])
        same = list(dict.fromkeys([*begun, *inside])) if begun else []
    if same:
        return Choice("", tuple(same[:_NEAR]))
    return _by_words(given, terms) or Choice("", _alike(wanted, names))


def _by_words(given: str, terms: Mapping[str, Named]) -> Choice | None:
    found, lost = match((given,), index_of_names("name", terms))
    if len(found) == 1 and not lost and found[0].taken and not found[0].negated:
        return Choice(found[0].id)
    near = [key for item in found for key in (item.id, *(other.id for other in item.others))]
    return Choice("", tuple(dict.fromkeys(near))[:_NEAR]) if near else None


def _alike(wanted: str, names: Mapping[str, list[str]]) -> tuple[str, ...]:
    """Return the entries whose names are spelled most like a text, likeliest first."""
    keys = [(name, key) for key, said in names.items() for name in said]
    score = partial(
        process.extract, wanted, scorer=fuzz.token_sort_ratio, score_cutoff=_ALIKE, limit=4 * _NEAR
    )
    return tuple(dict.fromkeys(keys[place][1] for _, _, place in score([name for name, _ in keys])))[:_NEAR]


def resolve(given: str, terms: Mapping[str, Named]) -> str:
    """Return the id that is meant, or the text itself where none is meant for certain."""
    return choose(given, terms).id or given
