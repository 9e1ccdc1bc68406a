"""Phrases of the book that lead to another entry than their own, or to two."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from proveout.intake.index import Index, index_of, index_of_names, phrases_of, plain_text
from proveout.intake.tokens import sentences
from proveout.intake.words import clause_of, match
from proveout.model.entries import Vocabulary
from proveout.model.problem import Problem


def stray_phrases(words: Vocabulary) -> tuple[Problem, ...]:
    """Return a complaint for every title and word that, said by itself, is taken for another entry."""
    complaints = (words.symptoms, words.circumstances, words.recent_work)
    names = (("component", words.components), ("tool", words.tools))
    index = index_of(words)
    together = [(index, terms) for terms in complaints]
    apart = [(index_of_names(kind, terms), terms) for kind, terms in names]
    return tuple(sorted(problem for index, terms in (*together, *apart) for problem in _stray(index, terms)))


def _stray(index: Index, terms: Mapping[str, Any]) -> Iterator[Problem]:
    texts = Counter(phrase[2] for phrase in index["phrases"])
    for term in terms.values():
        for phrase in phrases_of(term):
            if texts[plain_text(phrase)] == 1 and is_best_whole(phrase):
                continue
            found, _ = match((phrase,), index)
            taken = [item.id for item in found if item.taken and not item.negated]
            if taken == [term.id] and len(found) == 1:
                continue
            others = [key for item in found for key in (item.id, *(other.id for other in item.others))]
            seen = " and ".join([key for key in dict.fromkeys(others) if key != term.id][:3]) or "nothing"
            saw = f"“{phrase}” of {term.id}, which leads to {seen}"
            mend = "reword it, or take it from one of the two"
            yield Problem(term.place, "stray-phrase", saw, "a phrase that leads to its own entry only", mend)


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
