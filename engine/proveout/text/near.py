"""Suggestions for a mistyped word."""

from __future__ import annotations

from collections.abc import Iterable

#: Least likeness, in percent, of a word that is suggested.
LIKENESS = 70


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Give ``did you mean 'x'?`` for the known word nearest to ``word``, or "" where none is near."""
    # Imported on need only: most runs have nothing to complain of. Far quicker than difflib on long lists.
    from rapidfuzz import fuzz, process

    near = process.extractOne(word[:200], sorted(known), scorer=fuzz.ratio, score_cutoff=LIKENESS)
    return f"did you mean '{near[0]}'?" if near else ""


def one_of(known: Iterable[str], most: int = 12) -> str:
    """Name the known words in order, cut short after ``most``."""
    words = list(known)
    listed = ", ".join(words[:most])
    return f"one of {listed}" + (f" and {len(words) - most} more" if len(words) > most else "")
