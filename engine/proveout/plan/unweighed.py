"""Codes that no rule weighs: said first, with the nearest codes that have rules."""

from __future__ import annotations

from proveout.model.advice import WithoutRules
from proveout.model.atom import CODE
from proveout.model.book import Book
from proveout.model.case import Sheet

#: Codes named as nearest.
NAMED = 3


def without_rules(book: Book, sheet: Sheet) -> tuple[WithoutRules, ...]:
    """Return the codes of a case that no rule weighs."""
    given = [
        seen.observable.key
        for seen in sheet.observations
        if seen.observable.kind == CODE and seen.decided == "set" and seen.observable not in book.weighing
    ]
    if not given:
        return ()
    weighed = [seen.key for seen in book.weighing if seen.kind == CODE]
    return tuple(WithoutRules(code, _meaning(book, code), _nearest(book, code, weighed)) for code in given)


def _meaning(book: Book, code: str) -> str:
    entry = book.words.codes.get(code)
    return entry.meaning if entry else ""


def _nearest(book: Book, code: str, weighed: list[str]) -> tuple[str, ...]:
    """Return the nearest codes with rules: of its family where it has one, else of its hundred, by number.

    The first three characters of a code name who defines it and which system it is about.
    """
    entry = book.words.codes.get(code)
    family = [other for other in weighed if entry and _family(book, other) == entry.family]
    near = family or [other for other in weighed if other[:3] == code[:3]]
    return tuple(sorted(near, key=lambda other: (_apart(code, other), other))[:NAMED])


def _family(book: Book, code: str) -> str:
    entry = book.words.codes.get(code)
    return entry.family if entry else ""


def _apart(code: str, other: str) -> tuple[bool, int]:
    """Return how far two codes are from each other: of another letter first, then by number."""
    return code[0] != other[0], abs(int(code[1:5], 16) - int(other[1:5], 16))
