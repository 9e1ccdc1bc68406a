"""What speaks against a record although its chain holds: its clock, and events that contradict each other.

Whoever keeps a record can seal it anew; what he then says must still fit together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime, timedelta

from msgspec import Struct

from proveout.model.book import Book
from proveout.model.entries import same_part
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.plan.parts import inspections_of
from proveout.record.bodies import (
    Advice,
    Amendment,
    Close,
    Mending,
    Purchase,
    Reading,
    Repair,
    Verification,
    Watch,
    Withdrawal,
    body_of,
    last_body,
)
from proveout.record.closing import CONFIRMED, called, confirmation, direct_evidence, is_closed
from proveout.record.deeds import advised_cause, last_advice
from proveout.record.event import OF_THE_RECORD, Event
from proveout.record.state import WITHDRAWABLE

#: So long nothing happens in a case that is worked on; a longer time is told, for whoever looks to judge.
LONGEST = timedelta(days=366)
#: So far two good clocks may be apart.
APART = timedelta(minutes=10)

#: What is written in one piece with the advice that follows from it.
_ADVISED = (Reading.kind, Amendment.kind, Withdrawal.kind)

#: Gives the book that an advice rests on.
BookFor = Callable[[Event], Book]


class Finding(Struct, frozen=True):
    """Something that speaks against a record: the event's number, a short name, and a sentence."""

    event: int
    check: str
    said: str


def findings(events: Sequence[Event], book_for: BookFor, now: datetime | None = None) -> tuple[Finding, ...]:
    """Return what speaks against a record whose chain holds, in the order of its events.

    Args:
        events: of the case.
        book_for: gives the book of an advice; where it cannot, what needs one is passed over.
        now: today's time; None where it is not known.
    """
    found: list[Finding] = []
    for place, event in enumerate(events):
        before = events[:place]
        found += _clock(before[-1] if before else None, event, now)
        if before:
            found += _order(before, event)
            found += _by_the_book(before, event, book_for)
    return tuple(found)


def time_of(event: Event) -> datetime:
    """Return the time that an event says, UTC."""
    return datetime.fromisoformat(event.at).astimezone(UTC)


def _clock(former: Event | None, event: Event, now: datetime | None) -> Iterator[Finding]:
    at = time_of(event)
    if now is not None and at > now + APART:
        yield Finding(event.n, "clock-ahead", f"its time, {event.at}, has not come yet by the clock here")
    if former is None:
        return
    passed = at - time_of(former)
    if passed < timedelta(0):
        said = f"its time, {event.at}, is before that of event {former.n}, {former.at}: a clock was set back"
        yield Finding(event.n, "clock-back", said)
    elif passed > LONGEST and event.kind not in ("reopening", "note", *OF_THE_RECORD):
        said = f"its time, {event.at}, is {passed.days} days after event {former.n}: was a clock set forward?"
        yield Finding(event.n, "clock-jump", said)


def _order(before: Sequence[Event], event: Event) -> Iterator[Finding]:
    """Find what cannot come after what is there, whichever the book."""
    closed = is_closed(before)
    if closed and event.kind not in ("note", "reopening", "advice", *OF_THE_RECORD):
        yield Finding(event.n, "after-the-end", f"a {event.kind} in a case that was closed before")
    former = before[-1]
    if event.kind == Advice.kind and former.kind == Advice.kind:
        said = f"an advice after that of event {former.n}, though nothing came in between"
        yield Finding(event.n, "advice-of-nothing", said)
    if former.kind in _ADVISED and event.kind != Advice.kind:
        said = f"event {former.n}, a {former.kind}, has no advice after it, which is written together with it"
        yield Finding(former.n, "no-advice", said)
    if event.kind == "reopening" and not closed:
        yield Finding(event.n, "not-closed", "it opens a case again that was not closed")
    if event.kind == Withdrawal.kind:
        yield from _withdrawal(before, event)
    if event.kind in (Verification.kind, Watch.kind):
        wanted = (Repair.kind, Mending.kind) if event.kind == Verification.kind else (Mending.kind,)
        if not any(one.kind in wanted for one in before):
            yield Finding(event.n, "nothing-mended", f"a {event.kind} before anything was mended")
    if event.kind == Purchase.kind:
        bought = body_of(event, Purchase)
        if bought.against_verdict and not bought.reason.strip():
            yield Finding(event.n, "no-reason", "bought against the verdict, and no reason is given")


def _withdrawal(before: Sequence[Event], event: Event) -> Iterator[Finding]:
    number = body_of(event, Withdrawal).event
    named = next((one for one in before if one.n == number), None)
    if named is None or named.kind not in WITHDRAWABLE:
        yield Finding(event.n, "nothing-withdrawn", f"it withdraws event {number}, which cannot be withdrawn")
    elif any(one.kind == event.kind and body_of(one, Withdrawal).event == number for one in before):
        yield Finding(event.n, "withdrawn-before", f"it withdraws event {number}, which was withdrawn before")


def _by_the_book(before: Sequence[Event], event: Event, book_for: BookFor) -> Iterator[Finding]:
    """Find what contradicts the events before by the book of the last advice."""
    last = last_body(before, Advice)
    if last is None or event.kind not in (Purchase.kind, Repair.kind, Mending.kind, Close.kind):
        return
    try:
        book = book_for(last[0])
        yield from {
            Purchase.kind: _purchase,
            Repair.kind: _repair,
            Mending.kind: _mending,
            Close.kind: _close,
        }[event.kind](before, event, book)
    except (BadInputError, DamagedRecordError):
        return


def _purchase(before: Sequence[Event], event: Event, book: Book) -> Iterator[Finding]:
    bought, advice = body_of(event, Purchase), last_advice(before)
    named = advised_cause(advice)
    if named and not {named, bought.cause} <= book.causes.keys() and named != bought.cause:
        return
    advised = named == bought.cause or (
        bool(named) and same_part(book.causes[named], book.causes[bought.cause])
    )
    if advised == bought.against_verdict:
        said = "against the verdict" if bought.against_verdict else "as advised"
        told = f"the last advice, event {advice.n}," if advice else "no advice before it"
        repaired = called(book.causes, named)
        what = f"said to repair {repaired}" if named else "said to repair nothing" if advice else "said so"
        yield Finding(event.n, "flag-contradicts", f"it says that it was bought {said}, but {told} {what}")


def _repair(_before: Sequence[Event], event: Event, book: Book) -> Iterator[Finding]:
    body = body_of(event, Repair)
    if body.cause not in book.causes:
        return
    component, parts = book.causes[body.cause].component, book.words.components
    if body.component not in ("", component):
        yield Finding(
            event.n,
            "other-part",
            f"it names {called(parts, body.component)} as replaced, not {called(parts, component)}",
        )
    foreign = sorted(set(body.voids) - set(inspections_of(book, component)) - set(_renamed(book)))
    if foreign:
        named = ", ".join(called(book.inspections, name) for name in foreign)
        said = f"it sets aside inspections that have nothing to do with {called(parts, component)}: {named}"
        yield Finding(event.n, "foreign-voids", said)


def _renamed(book: Book) -> list[str]:
    """Return the names that inspections had before."""
    return [name.partition(" ")[2] for name in book.former if name.startswith("inspection ")]


def _mending(before: Sequence[Event], event: Event, book: Book) -> Iterator[Finding]:
    cause = body_of(event, Mending).cause
    if cause in book.causes and not direct_evidence(before, book, cause):
        yield Finding(
            event.n,
            "not-seen",
            f"it mends {called(book.causes, cause)}, which no inspection before it has shown",
        )


def _close(before: Sequence[Event], event: Event, book: Book) -> Iterator[Finding]:
    body = body_of(event, Close)
    if body.outcome != CONFIRMED:
        return
    found = confirmation(before, book)
    if not found.confirmed:
        said = "it is closed as confirmed, but what came before does not confirm it: "
        yield Finding(event.n, "not-confirmed", said + " ".join(found.missing)[:500])
    elif body.cause != found.cause:
        closed, confirmed = called(book.causes, body.cause), called(book.causes, found.cause)
        said = f"it is closed for {closed}, but what was confirmed is {confirmed}"
        yield Finding(event.n, "other-cause", said)
