"""Phrases of the book that lead to another entry than their own, or to two."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from proveout.intake.index import Index, index_of, index_of_names, phrases_of
from proveout.intake.words import match
from proveout.model.entries import Vocabulary
from proveout.model.problem import Problem


def stray_phrases(words: Vocabulary) -> tuple[Problem, ...]:
    """Give a complaint for every title and word that, said by itself, is not taken for its own entry only."""
    complaints = (words.symptoms, words.circumstances, words.recent_work)
    names = (("component", words.components), ("tool", words.tools))
    together = [(index_of(words), terms) for terms in complaints]
    apart = [(index_of_names(kind, terms), terms) for kind, terms in names]
    return tuple(sorted(problem for index, terms in (*together, *apart) for problem in _stray(index, terms)))


def _stray(index: Index, terms: Mapping[str, Any]) -> Iterator[Problem]:
    for term in terms.values():
        for phrase in phrases_of(term):
            found, _ = match((phrase,), index)
            taken = [item.id for item in found if item.taken and not item.negated]
            if taken == [term.id] and len(found) == 1:
                continue
            others = [key for item in found for key in (item.id, *(other.id for other in item.others))]
            seen = " and ".join([key for key in dict.fromkeys(others) if key != term.id][:3]) or "nothing"
            saw = f"“{phrase}” of {term.id}, which leads to {seen}"
            mend = "reword it, or take it from one of the two"
            yield Problem(term.place, "stray-phrase", saw, "a phrase that leads to its own entry only", mend)
