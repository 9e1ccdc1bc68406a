"""What is kept of what was done: bought, repaired, verified."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from proveout.intake.document import case_of, unknown_id
from proveout.intake.sheet import sheet_of
from proveout.model.advice import REPAIR
from proveout.model.book import Book
from proveout.model.entries import same_part
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.plan.parts import inspections_of
from proveout.record.bodies import (
    Advice,
    Mending,
    Purchase,
    Repair,
    Verification,
    Watch,
    body_of,
)
from proveout.record.closing import check_open, direct_evidence, last_mended
from proveout.record.event import Event
from proveout.record.state import merged

_COUNTER = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def last_advice(events: Sequence[Event]) -> Event | None:
    """Return the last advice of a case, or None; a repair or mending voids the advice before it."""
    for event in reversed(events):
        if event.kind in ("advice", "repair", "mending"):
            return event if event.kind == "advice" else None
    return None


def advised_cause(advice: Event | None) -> str:
    """Return the cause that an advice said to repair, or ""."""
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
    check_open(events)
    if not 0 <= cost < 1e9:
        raise _refused(events, "bad-cost", f"the cost {cost:g}", "0 or more")
    advised = book.causes.get(advised_cause(last_advice(events)))
    against = advised is None or not same_part(advised, book.causes[cause])
    if against and not reason.strip():
        saw = f"a part for “{book.causes[cause].title}”, which the last advice did not say to repair"
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
    codes_cleared: bool = False,
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
        codes_cleared: a tool cleared the codes after it.
        note: free text.

    Raises:
        BadInputError: the case is closed, the cause unknown, or the minutes are negative.
    """
    _check_cause(events, book, cause)
    check_open(events)
    if minutes is not None and not 0 <= minutes < 1e6:
        raise _refused(events, "bad-minutes", f"{minutes:g} minutes", "0 or more")
    action = action or book.causes[cause].remedy.action
    component = book.causes[cause].component
    return Repair(
        cause=cause,
        action=action,
        component=component if action == "replace" else "",
        voids=inspections_of(book, component),
        minutes=minutes,
        codes_cleared=codes_cleared or None,
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
    check_open(events)
    if not direct_evidence(events, book, cause):
        names = " or ".join(f"“{book.inspections[name].title}”" for name in book.proved_by.get(cause, ()))
        saw = f"a mending of “{book.causes[cause].title}”, which no inspection of this case has shown"
        raise _refused(events, "not-seen", saw, f"a result of {names} that shows it, recorded before")
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
    check_open(events)
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
    codes_read: bool = False,
    monitors_run: Sequence[str] = (),
    driven_km: float = 0.0,
    counters: Mapping[str, int] | None = None,
    gone: Sequence[str] = (),
    note: str = "",
) -> Verification:
    """Return a verification; ``closing.confirmation`` says what it is worth.

    Args:
        events: of the case so far; a repair must be among them.
        book: the rules.
        repeated: inspections done again, in the form of readings.
        codes_cleared: a tool cleared the codes after the repair.
        codes_now: codes read since, in the form of an intake document.
        codes_read: they were read, so that none means that none is stored.
        monitors_run: readiness monitors that have completed since.
        driven_km: how far it was driven since the codes were cleared.
        counters: counters read after the drive, by name.
        gone: symptoms that were looked for and are gone.
        note: free text.

    Raises:
        BadInputError: the case is closed, no repair came before, or something is not in the book.
    """
    check_open(events)
    if last_mended(events) is None:
        raise _refused(events, "no-repair", "a verification without a repair before it", "a repair")
    document = {
        "codes": list(codes_now),
        "readings": [dict(item) for item in repeated],
        "monitors_run": list(monitors_run),
        "symptoms_absent": list(gone),
    }
    sheet_of(case_of(document, book), book)
    return Verification(
        repeated=document["readings"],
        codes_cleared=codes_cleared,
        codes_now=document["codes"],
        codes_read=codes_read or None,
        monitors_run=document["monitors_run"],
        driven_km=driven_km or None,
        counters=dict(counters or {}),
        gone=list(gone),
        note=note,
    )


def counters_from(texts: Sequence[str]) -> dict[str, int]:
    """Read counters from ``NAME=COUNT``.

    Raises:
        BadInputError: one is not that.
    """
    found = {}
    for text in texts:
        name, _, count = text.partition("=")
        if not _COUNTER.fullmatch(name) or not count.isdecimal() or len(count) > 9:
            expected = "a name in small letters and a count, such as misfire-3=0"
            raise BadInputError(Problem(NOWHERE, "bad-counter", f"the counter '{text}'", expected))
        found[name] = int(count)
    return found


def _check_cause(events: Sequence[Event], book: Book, cause: str) -> None:
    if cause not in book.causes:
        raise BadInputError(unknown_id("cause", cause, book.causes, _place(events)))


def _place(events: Sequence[Event]) -> Place:
    return Place(events[0].place.file if events else "")


def _refused(events: Sequence[Event], check: str, saw: str, expected: str) -> BadInputError:
    return BadInputError(Problem(_place(events), check, saw, expected))
