"""What the facts of a case mean for driving on: every entry of the book that holds, and the most urgent."""

from __future__ import annotations

from proveout.model.atom import CODE, Atom
from proveout.model.book import Book
from proveout.model.urgency import SCALE, Driving, DrivingOn

_RANK = {do: rank for rank, do in enumerate((*SCALE, ""))}


def driving_on(book: Book, facts: frozenset[Atom]) -> DrivingOn:
    """Return what a closed set of facts means for driving on."""
    if not book.driving:
        return DrivingOn()
    codes = {atom.key for atom in facts if atom.kind == CODE and atom.value == "set"}
    entries = (book.words.codes.get(code) for code in codes)
    families = frozenset(entry.family for entry in entries if entry)
    held = [entry for entry in book.driving if _holds(entry, facts, families)]
    held.sort(key=lambda entry: (_RANK[entry.do], entry.id))
    return DrivingOn(held[0].do if held else "", tuple(held))


def _holds(entry: Driving, facts: frozenset[Atom], families: frozenset[str]) -> bool:
    """Say whether an entry holds: its condition, and a code of one of its families where it names any."""
    return (not entry.families or not families.isdisjoint(entry.families)) and entry.when.holds(facts)
