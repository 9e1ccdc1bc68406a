"""Cautions before what they belong to, and what mends a cause: texts that need no readings."""

from __future__ import annotations

from proveout.model.book import Book
from proveout.model.entries import Inspection, Remedy
from proveout.show.figures import minutes, money, wrapped


def caution_lines(book: Book, inspection: Inspection, width: int) -> list[str]:
    """Give every caution of an inspection and of the places that it opens, and its damage limit."""
    ids = dict.fromkeys(inspection.cautions)
    for access in inspection.access:
        ids.update(dict.fromkeys(book.words.access[access].cautions))
    lines = [
        line
        for caution in (book.words.cautions[key] for key in ids)
        for line in wrapped(f"{caution.title}: {caution.text}", width, "  ! ", "    ")
    ]
    if inspection.damage_limit:
        lines += wrapped(f"Do not exceed: {inspection.damage_limit}", width, "  ! ", "    ")
    return lines


def remedy_lines(book: Book, remedy: Remedy, width: int) -> list[str]:
    """Give what mends a cause: cautions first, then the action, its cost and notes."""
    lines = [
        line
        for caution in (book.words.cautions[key] for key in remedy.cautions)
        for line in wrapped(f"{caution.title}: {caution.text}", width, "  ! ", "    ")
    ]
    what = f"{remedy.action.replace('-', ' ')}{f': {remedy.part}' if remedy.part else ''}"
    cost = ""
    if remedy.part_cost.high:
        cost = f", part about {money(remedy.part_cost.low)} to {money(remedy.part_cost.high)}"
    lines += wrapped(f"{what} ({minutes(remedy.minutes)}{cost})", width, "  ")
    for note in remedy.notes:
        lines += wrapped(note, width, "  - ", "    ")
    return lines
