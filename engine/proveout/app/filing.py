"""Reads and appends to case files for the commands that record deeds."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from proveout.app.keeping import now
from proveout.app.profile import who
from proveout.intake.document import unknown_id
from proveout.model.book import Book
from proveout.model.problem import BadInputError, Place, Problem
from proveout.readiness.warranty import Reminder, known_terms, reminders
from proveout.record import casefile, state
from proveout.record.bodies import Body


def events_of(path: Path) -> tuple[casefile.Event, ...]:
    """Return the events of a case file.

    Raises:
        BadInputError: it cannot be read or is no case file.
        DamagedRecordError: its digests do not hold.
    """
    if not casefile.is_case(path):
        mend = f"open a case file from it: proveout intake NEWCASE --from {path}"
        raise BadInputError(Problem(Place(str(path)), "not-a-case-file", "no case file", "a case file", mend))
    return casefile.read(path)


def append(path: Path, events: Sequence[casefile.Event], body: Body) -> str:
    """Append an event to a case that is as it was read, and return the new head digest."""
    head = events[-1].digest
    return casefile.append(path, body.kind, body.kept(), now(), head, who()).digest


def reminders_for(events: Sequence[casefile.Event], book: Book, cause: str) -> tuple[Reminder, ...]:
    """Return the warranty terms that may pay for the component of a cause in this case."""
    if cause not in book.causes:
        raise BadInputError(unknown_id("cause", cause, book.causes, Place("")))
    vehicle = state.merged(events).get("vehicle", {})
    return reminders(
        book.causes[cause].component,
        vehicle.get("age_years"),
        vehicle.get("mileage_km"),
        vehicle.get("first_year"),
        known_terms(book),
    )
