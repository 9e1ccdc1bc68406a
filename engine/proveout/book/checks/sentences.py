"""Sentences of a text, and what is found in those of them that do not deny it."""

from __future__ import annotations

import re
from collections.abc import Iterator

#: Where one ends; what stands after a colon or semicolon is denied or not by itself.
SENTENCE = re.compile(r"(?<=[.;:]) ")
#: What lets an engine turn.
STARTS = re.compile(
    r"\bstart(?:ed|s)?\b(?! (?:button|at|with|from|by|the (?:clock|count)))|\bidl(?:e|es|ing)\b"
    r"|\bengine (?:\w+ )?(?:running|runs)\b|\bcrank(?:s|ing)?\b|\bwhile (?:it|the engine) (?:runs|turns)\b"
    r"|\brev(?:s|ved)?\b|\brpm\b",
    re.IGNORECASE,
)


def undenied(pattern: re.Pattern[str], text: str, denied: re.Pattern[str]) -> str:
    """Return the words that a pattern finds in a sentence which does not deny them, or nothing."""
    told = (found for found, sentence in found_in(pattern, text) if not denied.search(sentence))
    return next(told, "")


def found_in(pattern: re.Pattern[str], text: str) -> Iterator[tuple[str, str]]:
    """Return what a pattern finds in each sentence of a text, and the sentence, where it finds something.

    A pattern asks for nothing beyond the end of a sentence, so that a text in which it finds nothing, as most
    are, need not be split.
    """
    if pattern.search(text):
        for sentence in SENTENCE.split(text):
            if found := pattern.search(sentence):
                yield found[0], sentence
