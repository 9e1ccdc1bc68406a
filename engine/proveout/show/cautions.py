"""Cautions before what they belong to, and what mends a cause: texts that need no readings."""

from __future__ import annotations

from proveout.model.book import Book
from proveout.model.entries import Caution, Inspection, Remedy
from proveout.show.figures import minutes, money, price, wrapped
from proveout.text.unhyphened import unhyphened


def _cautions(book: Book, inspection: Inspection) -> list[Caution]:
    """Return the cautions of an inspection, then those of the places that it opens."""
    ids = dict.fromkeys(inspection.cautions)
    for access in inspection.access:
        ids.update(dict.fromkeys(book.words.access[access].cautions))
    return [book.words.cautions[key] for key in ids]


def caution_titles(book: Book, inspection: Inspection) -> list[str]:
    """Return the cautions of an inspection by their titles alone."""
    return [caution.title for caution in _cautions(book, inspection)]


def caution_texts(book: Book, inspection: Inspection) -> list[tuple[str, str]]:
    """Return the cautions of an inspection whole, each with its title; last what must not be exceeded."""
    found = [(caution.title, caution.text) for caution in _cautions(book, inspection)]
    return [*found, ("Do not exceed", inspection.damage_limit)] if inspection.damage_limit else found


def limit_sources(inspection: Inspection) -> str:
    """Return where an inspection's damage limits come from, pages first; empty where it has none."""
    found = dict.fromkeys(limit.source for limit in inspection.safety_limits)
    plain = [source for source in found if source.startswith("common practice")]
    pages = [source for source in found if source not in plain]
    return "; ".join([*pages, *(f"the rest {source}" if pages else source for source in plain)])


def caution_lines(book: Book, inspection: Inspection, width: int) -> list[str]:
    """Return every caution of an inspection and of the places that it opens, and its damage limit."""
    return [
        line
        for title, text in caution_texts(book, inspection)
        for line in wrapped(f"{title}: {text}", width, "  ! ", "    ")
    ]


def remedy_said(remedy: Remedy, currency: str) -> str:
    """Return what mends a cause in one sentence: the action, how long it takes, what the part costs."""
    action = unhyphened(remedy.action)
    what = f"{action[:1].upper()}{action[1:]}{f': {remedy.part}' if remedy.part else ''}"
    cost = ""
    if remedy.part_cost.high:
        cost = f", part about {price(remedy.part_cost.low)} to {money(remedy.part_cost.high, currency)}"
    return f"{what} ({minutes(remedy.minutes)}{cost})"


def remedy_lines(book: Book, remedy: Remedy, width: int, currency: str) -> list[str]:
    """Return what mends a cause: cautions first, then the action, its cost and notes."""
    lines = [
        line
        for caution in (book.words.cautions[key] for key in remedy.cautions)
        for line in wrapped(f"{caution.title}: {caution.text}", width, "  ! ", "    ")
    ]
    lines += wrapped(remedy_said(remedy, currency), width, "  ")
    for note in remedy.notes:
        lines += wrapped(note, width, "  - ", "    ")
    return lines
