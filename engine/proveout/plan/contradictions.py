"""Direct inspections that contradict each other: what to make once more before a proven cause is believed.

One inspection shows a cause, another that would hardly miss it comes out sound; or the same inspection came
out one way and then the other. Neither is outvoted: each is made once more, first the one that came out
sound, and what comes out the same way twice counts.
"""

from __future__ import annotations

from msgspec import Struct

from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.plan.proof import clear_results
from proveout.weigh.cpts import cpt
from proveout.weigh.presence import Presence

#: A normal result contradicts a cause where the cause gives one at most this often (from memory).
HARDLY_MISSED = 0.2


class Contradiction(Struct, frozen=True):
    """Two direct results that cannot both be right.

    Attributes:
        again: the inspection to make once more.
        sound, shown: the inspections that came out sound and that shows the cause; the same one where it
            contradicts itself.
        before, now: for one that contradicts itself its last two results, else the sound and the other one.
    """

    again: str
    sound: str
    shown: str
    before: str
    now: str


def contradiction(book: Book, sheet: Sheet, facts: frozenset[Atom], cause: str) -> Contradiction | None:
    """Return what contradicts the direct evidence for a cause and was not settled by repeating, or None."""
    clear = clear_results(sheet)
    before = dict(sheet.contrary)
    made = [check for check in book.proved_by.get(cause, ()) if check in clear]
    for check in made:
        if check in before:
            return Contradiction(check, check, check, before[check], clear[check])
    shown = [check for check in made if clear[check] in book.inspections[check].proves[cause]]
    presence = Presence(book, sheet)
    sound = [
        check
        for check in made
        if presence.seen(check, cause) == 1.0 and _speaks_against(book, facts, check, clear[check], cause)
    ]
    if not shown or not sound:
        return None
    unsettled = [check for check in (*sound, *shown) if check not in sheet.repeated]
    if not unsettled:
        return None
    against = unsettled[0] if unsettled[0] in sound else sound[0]
    return Contradiction(unsettled[0], against, shown[0], clear[against], clear[shown[0]])


def _speaks_against(book: Book, facts: frozenset[Atom], check: str, result: str, cause: str) -> bool:
    """Say whether a normal result is one that the cause would hardly give."""
    inspection = book.inspections[check]
    if result in inspection.proves[cause] or not inspection.result(result).normal:
        return False
    how = cpt(book, facts, Observable(RESULT, check))
    row = how.given.get(cause) if how else None
    return row is not None and 1.0 - sum(row) <= HARDLY_MISSED
