"""Naming what was seen in a complaint, and suggestions for a mistyped word."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

#: Least likeness, in percent, of a word that is suggested.
LIKENESS = 70
#: Longest piece of input that is shown.
SHOWN = 60


def show(value: Any) -> str:
    """Name a value of input briefly and on one line."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        keys = ", ".join(show(key).strip("'") for key in list(value)[:4])
        return f"keys with values ({keys})" if keys else "no keys at all"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    text = str(value)
    short = text if len(text) <= SHOWN else text[: SHOWN - 3] + "..."
    plain = "".join(c if c.isprintable() else repr(c)[1:-1] for c in short)
    return f"'{plain}'" if isinstance(value, str) else f"the number {plain}"


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return ``did you mean 'x'?`` for the known word nearest to ``word``, or "" where none is near."""
    # Imported on need only: most runs have nothing to complain of. Far quicker than difflib on long lists.
    from rapidfuzz import fuzz, process

    near = process.extractOne(word[:200], sorted(known), scorer=fuzz.ratio, score_cutoff=LIKENESS)
    return f"did you mean '{near[0]}'?" if near else ""


def one_of(known: Iterable[str], most: int = 12) -> str:
    """Name the known words in order, cut short after ``most``."""
    words = list(known)
    listed = ", ".join(words[:most])
    return f"one of {listed}" + (f" and {len(words) - most} more" if len(words) > most else "")
