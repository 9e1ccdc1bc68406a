"""Free text matched to the fixed vocabularies, cautiously: what is unclear is offered, never assumed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rapidfuzz import fuzz, utils

from proveout.model.atom import HAPPENS, SYMPTOM, WORK
from proveout.model.book import Book
from proveout.model.entries import Term

#: Score (0 to 100) from which a phrase is taken as said; between the two it is only offered.
TAKEN_FROM = 92.0
OFFERED_FROM = 70.0

_CLAUSES = re.compile(r"[,.;:!?\n]+|\b(?:and|but|then|also)\b", re.IGNORECASE)
_NEGATIONS = re.compile(
    r"\b(?:no|not|never|without|nothing|isn't|doesn't|don't|didn't|hasn't|won't)\b", re.IGNORECASE
)
#: Words that carry no meaning of their own here, so that "a smell of the fuel" meets "fuel smell".
_IDLE_WORDS = frozenset(
    (
        "a an the of in on at to it its is was are be my i we when with from for some there that this has "
        "have had get gets got very really bit little just after while"
    ).split()
)


@dataclass(frozen=True, slots=True)
class Match:
    """A clause of free text and the entry it may stand for.

    ``kind`` is symptom, happens or work; ``score`` runs to 100; ``taken`` says whether it is clear enough
    to be used without asking; ``negated`` that the clause denies it.
    """

    clause: str
    kind: str
    id: str
    title: str
    score: float
    taken: bool
    negated: bool


def _key(text: str) -> str:
    kept = [word for word in utils.default_process(text).split() if word not in _IDLE_WORDS]
    return " ".join(_stem(word) for word in kept)


def _stem(word: str) -> str:
    """Cut the commonest endings, so that smells, smelling and smell meet."""
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word


def _score(clause: str, phrase: str) -> float:
    """Score how surely the clause says the phrase.

    All words of the phrase in the clause count fully, but for a one-word phrase in a long clause, which may
    be there by chance.
    """
    if not clause or not phrase:
        return 0.0
    words = set(phrase.split())
    if words <= set(clause.split()):
        return 100.0 if len(words) > 1 or len(clause.split()) <= 3 else 80.0
    return float(fuzz.token_sort_ratio(clause, phrase))


def _best(clause: str, kind: str, terms: Mapping[str, Term], negated: bool) -> Match | None:
    key = _key(clause)
    scored = [
        (max(_score(key, _key(phrase)) for phrase in (term.title, *term.words)), len(term.id), term.id)
        for term in terms.values()
    ]
    if not scored:
        return None
    score, _, best = max(scored)
    if score < OFFERED_FROM:
        return None
    return Match(clause, kind, best, terms[best].title, score, score >= TAKEN_FROM and not negated, negated)


def clauses(said: str) -> list[str]:
    """Cut free text into clauses; empty ones are left out."""
    return [part.strip() for part in _CLAUSES.split(said) if part and part.strip()]


def match(said: Iterable[str], book: Book) -> tuple[tuple[Match, ...], tuple[str, ...]]:
    """Match free text to symptoms, circumstances and recent work.

    Returns:
        The matches, clear and unclear, in the order of the text; and the clauses that match nothing.
    """
    vocabularies = (
        (SYMPTOM, book.words.symptoms),
        (HAPPENS, book.words.circumstances),
        (WORK, book.words.recent_work),
    )
    found: list[Match] = []
    lost: list[str] = []
    for text in said:
        for clause in clauses(text):
            negated = bool(_NEGATIONS.search(clause))
            hits = [hit for kind, terms in vocabularies if (hit := _best(clause, kind, terms, negated))]
            taken = [hit for hit in hits if hit.taken]
            found += taken or sorted(hits, key=lambda hit: (-hit.score, hit.kind))[:1]
            if not hits:
                lost.append(clause)
    return tuple(found), tuple(lost)
