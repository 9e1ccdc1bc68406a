"""Suggestions for a mistyped word."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Give ``did you mean 'x'?`` for the known word nearest to ``word``, or "" where none is near."""
    near = get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return f"did you mean '{near[0]}'?" if near else ""


def one_of(known: Iterable[str], most: int = 12) -> str:
    """Name the known words in order, cut short after ``most``."""
    words = list(known)
    listed = ", ".join(words[:most])
    return f"one of {listed}" + (f" and {len(words) - most} more" if len(words) > most else "")
