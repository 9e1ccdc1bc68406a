"""A reading that was sent from elsewhere, late or more than once, is kept once."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from proveout.app.filing import events_of
from proveout.app.recording import Kept, record
from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.record.bodies import Close, Mending, Reading, Reopening, Repair, bodies
from proveout.record.event import Event

#: What makes a reading that was taken before it one of another state of the vehicle.
_TURNS = (Repair.kind, Mending.kind, Close.kind, Reopening.kind)
#: How often a case may go on between reading and writing it before that is told.
_TRIES = 20


def receive(path: Path, reading: Reading, seen: str, book: Book, layers: tuple[Path, ...]) -> Kept | None:
    """Keep a reading that carries a mark; None where it had been kept before.

    What others recorded meanwhile does not stand against it, unless something was mended or the case ended.

    Args:
        path: the case file.
        reading: what was read, with its mark.
        seen: digest of the last event that whoever took the reading saw.
        book: the rules.
        layers: directories laid over the shipped rules.

    Raises:
        BadInputError: it cannot be used, or what it was taken of is no longer as it was; nothing is written.
        DamagedRecordError: the file's digests do not hold.
    """
    for turn in range(_TRIES):
        events = events_of(path)
        if _kept_before(events, reading):
            return None
        _refuse_after_a_turn(events, seen)
        try:
            return record(path, reading, book, layers, events)
        except BadInputError as error:
            if error.problems[0].check != "moved-on" or turn == _TRIES - 1:
                raise
    raise AssertionError("unreachable")


def _kept_before(events: Sequence[Event], reading: Reading) -> bool:
    """Say whether a reading was kept before; the same mark on another one is refused."""
    found = next((body for _, body in bodies(events, Reading) if body.mark == reading.mark), None)
    if found is None:
        return False
    if found.kept() != reading.kept():
        saw = "another reading than the one that was kept from this page"
        raise BadInputError(
            Problem(NOWHERE, "mark-used", saw, mend="open the inspection again, and enter it")
        )
    return True


def _refuse_after_a_turn(events: Sequence[Event], seen: str) -> None:
    """Refuse what was taken before something was mended, or the case ended."""
    place = next((event.n for event in events if event.digest == seen), None)
    if place is None:
        raise BadInputError(
            Problem(NOWHERE, "other-case", "a reading of another case", mend="open the case again")
        )
    turned = next((event for event in events if event.n > place and event.kind in _TURNS), None)
    if turned is not None:
        saw = f"event {turned.n}, {turned.kind}, came after this was read"
        mend = "look at the case; enter the reading again if it still holds"
        raise BadInputError(Problem(NOWHERE, "overtaken", saw, mend=mend))
