"""What was seen, and what can be seen, as people call it: titles in the place of ids."""

from __future__ import annotations

from typing import TYPE_CHECKING

from proveout.model.atom import CODE, FACT, FINDING, HAPPENS, RESULT, SYMPTOM, Observable
from proveout.text.unhyphened import unhyphened

if TYPE_CHECKING:
    from proveout.model.book import Book


def came_out(title: str, how: str) -> str:
    """Return what was asked or looked at, and how it came out: “Does it click: will not click”."""
    return f"{title.rstrip('?')}: {unhyphened(how)}"


def fact_said(key: str) -> str:
    """Return a condition on the vehicle or a freeze frame, as ``vehicle.age at_least 12 y``, in words."""
    return key.replace("frame.", "freeze frame ").replace(".", " ", 1).replace("_", " ")


def observable_title(book: Book, observable: Observable) -> str:
    """Return what an observable is called: a code, or the title of a symptom, inspection or finding."""
    kind, key = observable
    if kind == CODE:
        return f"code {key}"
    if kind == FACT:
        return fact_said(key)
    if kind == RESULT:
        return book.inspections[key].title if key in book.inspections else key
    words = {
        SYMPTOM: book.words.symptoms,
        HAPPENS: book.words.circumstances,
        FINDING: book.words.findings,
    }.get(kind, {})
    return words[key].title if key in words else key


def evidence_said(book: Book, what: str, how: str) -> str:
    """Return a line of a ledger in words: ``result cap-seal-look`` and ``sound``."""
    kind, _, key = what.partition(" ")
    if not key:
        return "how common it is" if what == "prior" else what
    title = observable_title(book, Observable(kind, key))
    return came_out(title, how) if how else title
