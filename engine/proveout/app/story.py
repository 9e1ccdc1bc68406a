"""Everything that a report tells of a case, gathered from its record and the answers that it led to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from proveout.app.filing import reminders_for
from proveout.app.places import data_dir
from proveout.audit.argument import arguments
from proveout.audit.chapters import Chapter, chapters
from proveout.audit.replay import Audit, Shelf, audit
from proveout.intake.document import case_of
from proveout.model.advice import NONE, REFER, REPAIR, Triage
from proveout.model.book import Book
from proveout.model.case import Case
from proveout.plan.advice import advise
from proveout.readiness.needs import Need
from proveout.readiness.warranty import Reminder
from proveout.record.ahead import still_to_drive
from proveout.record.bodies import Advice, Close, Purchase, Repair, bodies, last_body
from proveout.record.closing import Confirmation, came_back, confirmation
from proveout.record.event import Event
from proveout.record.state import merged

#: What of a case is personal, besides whatever people write in their own words.
PERSONAL = ("about", "said", "remarks", "title", "story")
#: Keys of events under which people write in their own words.
_FREE = frozenset({"note", "reason", "text"})


class Moment(Struct, frozen=True):
    """How causes stood at one advice of the record: its event's number and time, cause id to confidence."""

    number: int
    at: str
    confidence: Mapping[str, float]


class Spent(Struct, frozen=True):
    """Money and time of a case.

    Attributes:
        parts: what was paid for parts.
        wrong: of that, for causes other than the one mended last.
        minutes: of the repairs, as far as they were recorded.
        looked: minutes of the inspections made, by the book.
        guessed: expected price of mending the likeliest cause first, then the next, by what was known at the
            first advice; None where there is no advice.
        per_hour: what an hour counts.
        currency: or "".
    """

    parts: float
    wrong: float
    minutes: float
    looked: float
    guessed: float | None
    per_hour: float
    currency: str


class Story(Struct, frozen=True):
    """A case as a report tells it.

    Attributes:
        document: the intake document to be told of.
        case: that the argument rests on, whole.
        book: the rules.
        answer: the triage of it: before anything was mended.
        events: of the record; none for an intake document.
        cause: what was mended, or is proven, or "".
        held: whether the last repair is confirmed, where something was mended.
        ahead: driving that is still needed.
        payers: warranty terms that cover the part.
        course: how the causes stood at each advice.
        spent: money and time.
        chapters: the case told repair by repair; none for an intake document.
        back: whether the trouble was back after what was mended last.
        audited: the record checked and every advice computed anew, where that is wanted.
        redacted: whether what is personal was left out.
    """

    document: Mapping[str, Any]
    case: Case
    book: Book
    answer: Triage
    events: tuple[Event, ...]
    cause: str
    held: Confirmation | None
    ahead: tuple[Need, ...]
    payers: tuple[Reminder, ...]
    course: tuple[Moment, ...]
    spent: Spent
    chapters: tuple[Chapter, ...] = ()
    back: bool = False
    audited: Audit | None = None
    redacted: bool = False


def story_of(
    document: Mapping[str, Any],
    events: Sequence[Event],
    book: Book,
    *,
    file: Path | None = None,
    redact: bool = False,
) -> Story:
    """Return the story of a case.

    Args:
        document: its merged intake document.
        events: of its record; none for an intake document.
        book: the rules.
        file: the case file, to be audited; None for no audit.
        redact: leave out what is personal: names, plate, owner, job, and all that was said in free words.

    Raises:
        BadInputError: the case cannot be used.
    """
    mended = next((event.n for event in events if event.kind == Repair.kind), None)
    told = merged(events, mended - 1) if mended else document
    case = case_of(told, book)
    if redact:
        told = {key: value for key, value in told.items() if key not in PERSONAL}
    answer = advise(case, book)
    cause = _cause(events, answer, book)
    repaired = last_body(events, Repair)
    return Story(
        document=told,
        case=case,
        book=book,
        answer=answer,
        events=tuple(events),
        cause=cause,
        held=confirmation(events, book) if repaired else None,
        ahead=still_to_drive(events, book) if repaired else (),
        payers=reminders_for(events, book, cause) if cause and events else (),
        course=tuple(_course(events)),
        spent=_spent(events, case, book, cause),
        back=bool(repaired) and came_back(events, book),
        chapters=_told(_unsaid(events) if redact else tuple(events), book),
        audited=audit(file, data_dir() / "books", today=book, now=datetime.now(UTC)) if file else None,
        redacted=redact,
    )


def _told(events: tuple[Event, ...], book: Book) -> tuple[Chapter, ...]:
    """Return the case repair by repair, whether or not its books are at hand."""
    if not events:
        return ()
    shelf = Shelf(data_dir() / "books", book)
    return chapters(events, shelf, arguments(events, shelf))


def _unsaid(events: Sequence[Event]) -> tuple[Event, ...]:
    """Return events without names and without what was said in free words."""
    return tuple(replace(event, by="", body=_plain(event.body)) for event in events)


def _plain(body: Mapping[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = {
        key: "" if key in _FREE else value for key, value in body.items() if key not in PERSONAL
    }
    if isinstance(found.get("adds"), Mapping):
        found["adds"] = _plain(found["adds"])
    if isinstance(found.get("drops"), Mapping):
        found["drops"] = {key: value for key, value in found["drops"].items() if key not in PERSONAL}
    return found


def _cause(events: Sequence[Event], answer: Triage, book: Book) -> str:
    """Return what it was: as the case was closed, as it was mended, or as it is proven."""
    closed, mended = last_body(events, Close), last_body(events, Repair)
    proven = answer.verdict.cause if answer.verdict.kind in (REPAIR, REFER, NONE) else ""
    named = (closed[1].cause if closed else "", mended[1].cause if mended else "", proven)
    return next((cause for cause in named if cause in book.causes), "")


def _course(events: Sequence[Event]) -> list[Moment]:
    return [
        Moment(event.n, event.at, {item.id: item.confidence for item in body.causes})
        for event, body in bodies(events, Advice)
    ]


def _spent(events: Sequence[Event], case: Case, book: Book, cause: str) -> Spent:
    purchases = [body for _, body in bodies(events, Purchase)]
    repairs = [body for _, body in bodies(events, Repair)]
    made = [book.inspections[item.inspection] for item in case.taken if item.inspection in book.inspections]
    advice = next(bodies(events, Advice), None)
    first = {item.id: item.confidence for item in advice[1].causes} if advice else None
    return Spent(
        parts=sum(body.cost for body in purchases),
        wrong=sum(body.cost for body in purchases if repairs and body.cause != cause),
        minutes=sum(body.minutes or 0.0 for body in repairs),
        looked=sum(item.minutes for item in made),
        guessed=_guessed(first, book, case.costs.per_hour) if first else None,
        per_hour=case.costs.per_hour,
        currency=case.costs.currency,
    )


def _guessed(confidence: Mapping[str, float], book: Book, per_hour: float) -> float:
    """Return the expected price of mending the likeliest cause first, then the next, until the trouble ends.

    A cause is reached if none of those before it was the fault; causes are taken as if one alone were
    present. It is a yardstick for what inspecting first is worth, not a bill.
    """
    left, price = 1.0, 0.0
    for cause, share in sorted(confidence.items(), key=lambda item: (-item[1], item[0])):
        if cause not in book.causes or left <= 0:
            continue
        remedy = book.causes[cause].remedy
        price += left * (remedy.part_cost.middle + remedy.minutes / 60 * per_hour)
        left -= min(share, left)
    return price
