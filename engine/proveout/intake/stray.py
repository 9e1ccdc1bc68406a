"""Phrases of the book that lead to another entry than their own, or to two."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from proveout.intake.index import Index, index_of, index_of_names, phrases_of, plain_text
from proveout.intake.tokens import sentences
from proveout.intake.words import match
from proveout.model.entries import Vocabulary
from proveout.model.problem import Problem


def stray_phrases(words: Vocabulary) -> tuple[Problem, ...]:
    """Give a complaint for every title and word that, said by itself, is not taken for its own entry only."""
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
            if texts[plain_text(phrase)] == 1 and _is_one_part(phrase):
                continue  # nothing fits better than the phrase itself
            found, _ = match((phrase,), index)
            taken = [item.id for item in found if item.taken and not item.negated]
            if taken == [term.id] and len(found) == 1:
                continue
            others = [key for item in found for key in (item.id, *(other.id for other in item.others))]
            seen = " and ".join([key for key in dict.fromkeys(others) if key != term.id][:3]) or "nothing"
            saw = f"“{phrase}” of {term.id}, which leads to {seen}"
            mend = "reword it, or take it from one of the two"
            yield Problem(term.place, "stray-phrase", saw, "a phrase that leads to its own entry only", mend)


def _is_one_part(phrase: str) -> bool:
    """Say whether a phrase is one sentence that is never cut in two."""
    told = list(sentences(phrase))
    return len(told) == 1 and not any(token.cut for token in told[0].tokens[1:]) and not told[0].hedges
