"""Sentences of a text, and what is found in those of them that do not deny it."""

from __future__ import annotations

import re

#: Where one ends; what stands after a colon or semicolon is denied or not by itself.
SENTENCE = re.compile(r"(?<=[.;:]) ")


def undenied(pattern: re.Pattern[str], text: str, denied: re.Pattern[str]) -> str:
    """Return the words that a pattern finds in a sentence which does not deny them, or nothing."""
    for sentence in SENTENCE.split(text):
        found = pattern.search(sentence)
        if found and not denied.search(sentence):
            return found[0]
    return ""
