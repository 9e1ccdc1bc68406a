"""What was recorded, put into words: the place where readings of a case get their units."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.model.atom import RESULT, Observable
from proveout.model.case import Read, Sheet
from proveout.model.preference import AS_WRITTEN
from proveout.model.presence import MARKS
from proveout.text.unhyphened import unhyphened


def said(sheet: Sheet, observable: Observable, display: str = AS_WRITTEN) -> str:
    """Return how an observation was given, units by preference; "" for what is not on the sheet."""
    if observable.kind == RESULT:
        for read in reversed(sheet.readings):
            if read.inspection == observable.key:
                return read.said(display)
    return next((seen.said for seen in sheet.observations if seen.observable == observable), "")


def notes(sheet: Sheet, display: str = AS_WRITTEN) -> tuple[str, ...]:
    """Return the remarks on a case, units by preference."""
    if display == AS_WRITTEN:
        return sheet.notes
    return tuple(dict.fromkeys((*sheet.heard, *reading_notes(sheet.readings, display))))


def reading_notes(readings: Iterable[Read], display: str = AS_WRITTEN) -> list[str]:
    """Return the remarks on readings, and which of a repeated inspection counts."""
    found: list[str] = []
    latest: dict[str, Read] = {}
    for read in readings:
        if read.told:
            said_of_it = (*read.told.noted(display), *read.told.yields(display))
            found += [f"{read.title}: {note}" for note in said_of_it]
        if read.old_part:
            found.append(f"{read.title} was of a part that has been replaced since; it counts for nothing.")
            continue
        if read.fault:
            found.append(f"{read.title} was made {MARKS[read.fault]}.")
        if before := latest.get(read.inspection):
            now, then = unhyphened(read.said(display)), unhyphened(before.said(display))
            found.append(f"{read.title} was repeated: “{now}” now counts, not “{then}”.")
        latest[read.inspection] = read
    return found
