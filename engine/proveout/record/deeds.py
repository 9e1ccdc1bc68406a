"""What is kept of what was done: bought, repaired, verified."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from proveout.intake.document import case_of, unknown_id
from proveout.intake.sheet import sheet_of
from proveout.model.advice import REPAIR
from proveout.model.book import Book
from proveout.model.entries import same_part
from proveout.model.problem import BadInputError, Place, Problem
from proveout.record.bodies import (
    Advice,
    Mending,
    Purchase,
    Repair,
    Verification,
    Watch,
    body_of,
)
from proveout.record.closing import direct_evidence, is_closed, last_mended
from proveout.record.event import Event
from proveout.record.state import merged


def last_advice(events: Sequence[Event]) -> Event | None:
    """Give the last advice of a case, or None; a repair or mending voids the advice before it."""
    for event in reversed(events):
        if event.kind in ("advice", "repair", "mending"):
            return event if event.kind == "advice" else None
    return None


def advised_cause(advice: Event | None) -> str:
    """Give the cause that an advice said to repair, or ""."""
    verdict = body_of(advice, Advice).verdict if advice else None
    return verdict.cause if verdict and verdict.kind == REPAIR else ""


def purchase_body(
    events: Sequence[Event],
    book: Book,
    cause: str,
    cost: float,
    part: str = "",
    reason: str = "",
) -> Purchase:
    """Return a purchase; one against the verdict, or before there was one, needs a reason.

    Args:
        events: of the case so far.
        book: the rules.
        cause: what the part is to mend.
        cost: in the user's currency.
        part: its name; that of the cause's remedy where left out.
        reason: why it was bought.

    Raises:
        BadInputError: the case is closed, the cause unknown, the cost negative, or the reason missing.
    """
    _check_cause(events, book, cause)
    _check_open(events)
    if not 0 <= cost < 1e9:
        raise _refused(events, "bad-cost", f"the cost {cost:g}", "0 or more")
    advised = book.causes.get(advised_cause(last_advice(events)))
    against = advised is None or not same_part(advised, book.causes[cause])
    if against and not reason.strip():
        saw = f"a part for {cause}, which the last advice did not say to repair"
        raise _refused(events, "reason-missing", saw, "the reason for buying it all the same")
    part = part or book.causes[cause].remedy.part or book.causes[cause].title
    return Purchase(part=part, cause=cause, cost=cost, against_verdict=against, reason=reason)


def repair_body(
    events: Sequence[Event],
    book: Book,
    cause: str,
    *,
    action: str = "",
    minutes: float | None = None,
    note: str = "",
) -> Repair:
    """Return a repair.

    Where the component was replaced, the repair says so and voids the readings that were taken of the old
    one, so that from then on the case counts the new part as possible but unlikely to be bad.

    Args:
        events: of the case so far.
        book: the rules.
        cause: what was mended.
        action: what was done; that of the cause's remedy where left out.
        minutes: how long it took.
        note: free text.

    Raises:
        BadInputError: the case is closed, the cause unknown, or the minutes are negative.
    """
    _check_cause(events, book, cause)
    _check_open(events)
    if minutes is not None and not 0 <= minutes < 1e6:
        raise _refused(events, "bad-minutes", f"{minutes:g} minutes", "0 or more")
    action = action or book.causes[cause].remedy.action
    component = book.causes[cause].component
    return Repair(
        cause=cause,
        action=action,
        component=component if action == "replace" else "",
        voids=_inspections_of(book, component),
        minutes=minutes,
        note=note,
    )


def mending_body(
    events: Sequence[Event],
    book: Book,
    cause: str,
    *,
    minutes: float | None = None,
    cost: float | None = None,
    note: str = "",
) -> Mending:
    """Return a mending: a defect that was seen directly and put right, proven or not.

    Args:
        events: of the case so far.
        book: the rules.
        cause: what was put right.
        minutes: how long it took.
        cost: of what was bought for it.
        note: free text.

    Raises:
        BadInputError: the case is closed, the cause unknown or not seen, or a figure negative.
    """
    _check_cause(events, book, cause)
    _check_open(events)
    if not direct_evidence(events, book, cause):
        names = ", ".join(book.proved_by.get(cause, ()))
        saw = f"a mending of {cause}, which no inspection of this case has shown"
        raise _refused(events, "not-seen", saw, f"a result of one of {names} that shows it, recorded before")
    for value, name in ((minutes, "minutes"), (cost, "cost")):
        if value is not None and not 0 <= value < 1e6:
            raise _refused(events, f"bad-{name}", f"{name} of {value:g}", "0 or more")
    return Mending(cause=cause, minutes=minutes, cost=cost, note=note)


def watch_body(events: Sequence[Event], since: str, note: str = "") -> Watch:
    """Return what was seen after the last mending.

    Args:
        events: of the case so far.
        since: ``stays-away`` or ``comes-back``.
        note: free text.

    Raises:
        BadInputError: the case is closed, or nothing was mended and watched.
    """
    _check_open(events)
    if not merged(events).get("mended"):
        raise _refused(events, "no-mending", "a watch without a mending before it", "a mending")
    return Watch(since=since, note=note)


def verification_body(
    events: Sequence[Event],
    book: Book,
    *,
    repeated: Sequence[Mapping[str, Any]] = (),
    codes_cleared: bool = False,
    codes_now: Sequence[Any] = (),
    monitors_run: Sequence[str] = (),
    note: str = "",
) -> Verification:
    """Return a verification; ``closing.confirmation`` says what it is worth.

    Args:
        events: of the case so far; a repair must be among them.
        book: the rules.
        repeated: inspections done again, in the form of readings.
        codes_cleared: a tool cleared the codes after the repair.
        codes_now: codes read since, in the form of an intake document.
        monitors_run: readiness monitors that have completed since.
        note: free text.

    Raises:
        BadInputError: the case is closed, no repair came before, or something is not in the book.
    """
    _check_open(events)
    if last_mended(events) is None:
        raise _refused(events, "no-repair", "a verification without a repair before it", "a repair")
    document = {
        "codes": list(codes_now),
        "readings": [dict(item) for item in repeated],
        "monitors_run": list(monitors_run),
    }
    sheet_of(case_of(document, book), book)
    return Verification(
        repeated=document["readings"],
        codes_cleared=codes_cleared,
        codes_now=document["codes"],
        monitors_run=document["monitors_run"],
        note=note,
    )


def _inspections_of(book: Book, component: str) -> list[str]:
    """Give the inspections that show a fault of the component directly."""
    causes = [cause.id for cause in book.causes.values() if cause.component == component]
    return sorted({name for cause in causes for name in book.proved_by.get(cause, ())})


def _check_cause(events: Sequence[Event], book: Book, cause: str) -> None:
    if cause not in book.causes:
        raise BadInputError(unknown_id("cause", cause, book.causes, _place(events)))


def _check_open(events: Sequence[Event]) -> None:
    """Refuse to do anything more in a case that was closed; a reading opens it again."""
    if is_closed(events):
        expected = "an open case; a new reading opens it again"
        raise _refused(events, "closed-before", "a case that is closed", expected)


def _place(events: Sequence[Event]) -> Place:
    return Place(events[0].place.file if events else "")


def _refused(events: Sequence[Event], check: str, saw: str, expected: str) -> BadInputError:
    return BadInputError(Problem(_place(events), check, saw, expected))
