"""Search over the book's codes and words, for somebody who types and picks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from msgspec import Struct

from proveout.intake.index import index_for, phrases_of, plain_text
from proveout.intake.resolve import Named
from proveout.intake.words import Candidate, Match, match
from proveout.model.atom import HAPPENS, SYMPTOM
from proveout.model.book import Book

#: What can be found, by the key of the intake document that it goes to.
CODES, SYMPTOMS, ABSENT, HAPPENS_WHEN, WORK, REPLACED = (
    "codes",
    "symptoms",
    "symptoms_absent",
    "happens_when",
    "recent_work",
    "replaced",
)
KINDS = (CODES, SYMPTOMS, ABSENT, HAPPENS_WHEN, WORK, REPLACED)

_CODE = re.compile(r"[PBCU][0-9A-F]{1,4}", re.IGNORECASE)
_WHOLE_CODE = re.compile(r"[PBCU][0-3][0-9A-F]{3}", re.IGNORECASE)
_HEARD = {SYMPTOM: SYMPTOMS, HAPPENS: HAPPENS_WHEN}
#: Fewest characters of a word that are looked for within names.
_SHORTEST = 2


class Found(Struct, frozen=True):
    """Something found: the key of the intake document that it goes to, its id, and what it is called."""

    kind: str
    id: str
    title: str


def search(text: str, book: Book, kinds: Iterable[str] = KINDS, most: int = 8) -> tuple[Found, ...]:
    """Return what a text may mean, the likeliest first: a code, its beginning, or words.

    A whole code that the catalogue lacks is found all the same, as it can be kept.

    Args:
        text: as typed so far.
        book: the rules.
        kinds: of them only these, of ``KINDS``.
        most: results at most.
    """
    wanted, typed = frozenset(kinds), " ".join(text.split())
    found: list[Found] = []
    if CODES in wanted and _CODE.fullmatch(typed):
        found += _codes(typed.upper(), book, most)
    if not found and plain_text(typed):
        found += (item for item in _heard(typed, book) if item.kind in wanted)
        found += _named(plain_text(typed), book, wanted)
    return tuple(dict.fromkeys(found))[:most]


def _codes(begins: str, book: Book, most: int) -> list[Found]:
    """Return the codes that begin so."""
    known = [code for code in book.words.codes if code.startswith(begins)][:most]
    found = [Found(CODES, code, book.words.codes[code].meaning) for code in known]
    if not found and _WHOLE_CODE.fullmatch(begins):
        found = [Found(CODES, begins, "not in the catalogue of this book; it is kept")]
    return found


def _heard(typed: str, book: Book) -> list[Found]:
    """Return what a sentence may say of symptoms, circumstances and recent work."""
    found: list[Found] = []
    for part in match((typed,), index_for(book))[0]:
        candidates: tuple[Match | Candidate, ...] = (part, *part.others)
        for one in candidates:
            kind = _HEARD.get(one.kind, WORK)
            if one.negated and kind != SYMPTOMS:
                continue
            found.append(Found(ABSENT if one.negated else kind, one.id, one.title))
    return found


def _named(wanted: str, book: Book, kinds: frozenset[str]) -> list[Found]:
    """Return the entries of which a name, or for codes the meaning, holds the beginnings of all words."""
    begins = [word for word in wanted.split() if len(word) >= _SHORTEST]
    if not begins:
        return []
    words = book.words
    vocabularies: Mapping[str, Mapping[str, Named]] = {
        SYMPTOMS: words.symptoms,
        HAPPENS_WHEN: words.circumstances,
        REPLACED: words.components,
        WORK: words.recent_work,
    }
    found = [
        Found(kind, key, term.title)
        for kind, terms in vocabularies.items()
        if kind in kinds
        for key, term in terms.items()
        if any(_holds(plain_text(name), begins) for name in phrases_of(term))
    ]
    if CODES in kinds and len(wanted) > _SHORTEST:
        codes = words.codes.items()
        found += [
            Found(CODES, key, code.meaning) for key, code in codes if _holds(plain_text(code.meaning), begins)
        ]
    return found


def _holds(name: str, begins: Iterable[str]) -> bool:
    """Say whether each of some words begins a word of a name."""
    padded = f" {name}"
    return all(f" {word}" in padded for word in begins)
