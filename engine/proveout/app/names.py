"""Names of the book's entries for completion, kept so that they are at hand at once.

Opening the book takes longer than somebody at a keyboard waits for a completion. What is kept answers to the
stamp of all files that the book is made of; whatever does not hold is read from the book anew.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING

from proveout.app.places import cache_dir, open_book
from proveout.book.compiled.made_from import stamp_of
from proveout.book.compiled.shelf import Shelf
from proveout.book.files import lay
from proveout.book.shipped import rules_dir

if TYPE_CHECKING:
    from pathlib import Path

    from proveout.intake.resolve import Titled
    from proveout.model.book import Book

CODES, SYMPTOMS, CIRCUMSTANCES, COMPONENTS, WORK, TOOLS, INSPECTIONS, CAUSES, MONITORS, GLOSSARY = (
    "codes",
    "symptoms",
    "circumstances",
    "components",
    "recent-work",
    "tools",
    "inspections",
    "causes",
    "monitors",
    "glossary",
)


def names(kind: str, layers: tuple[Path, ...] = ()) -> Mapping[str, str]:
    """Return the ids of a kind with their titles.

    Args:
        kind: one of the kinds above.
        layers: directories laid over the shipped book.

    Raises:
        BadInputError: the rules cannot be used.
    """
    shelf = Shelf(cache_dir() / "names")
    try:
        stamp, latest = stamp_of(lay(rules_dir(), layers))
    except OSError:  # which opening the book words
        stamp, latest = "", 0
    kept = _read(shelf.noted(f"{stamp}-{kind}"))
    if kept is not None:
        return kept
    every = every_name(open_book(layers))
    for name, entries in every.items():
        shelf.note(f"{stamp}-{name}", json.dumps(entries), latest)
    return every[kind]


def titles(kind: str, layers: tuple[Path, ...] = ()) -> Mapping[str, Titled]:
    """Return the same as entries that can be chosen among."""
    from proveout.intake.resolve import Titled  # completion is quicker without it

    return {key: Titled(title) for key, title in names(kind, layers).items()}


def _read(note: str) -> Mapping[str, str] | None:
    try:
        found = json.loads(note)
    except ValueError:
        return None
    return found if isinstance(found, dict) else None


def every_name(book: Book) -> dict[str, dict[str, str]]:
    """Return the ids of each kind of a book's entries with their titles."""
    words = book.words
    return {
        CODES: {key: entry.meaning for key, entry in words.codes.items()},
        SYMPTOMS: {key: entry.title for key, entry in words.symptoms.items()},
        CIRCUMSTANCES: {key: entry.title for key, entry in words.circumstances.items()},
        COMPONENTS: {key: entry.title for key, entry in words.components.items()},
        WORK: {key: entry.title for key, entry in words.recent_work.items()},
        TOOLS: {key: entry.title for key, entry in words.tools.items()},
        INSPECTIONS: {key: entry.title for key, entry in book.inspections.items()},
        CAUSES: {key: entry.title for key, entry in book.causes.items()},
        GLOSSARY: {key: entry.title for key, entry in words.glossary.items()},
        MONITORS: {entry.monitor: "" for entry in words.codes.values() if entry.monitor},
    }
