"""Bodies of the events for what was done: bought, repaired, verified."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from proveout.intake.document import case_of, unknown_id
from proveout.intake.sheet import sheet_of
from proveout.model.advice import REPAIR
from proveout.model.book import Book
from proveout.model.entries import same_part
from proveout.model.problem import BadInputError, Place, Problem
from proveout.record.closing import MENDS, direct_evidence, is_closed
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
    verdict = advice.body.get("verdict") if advice else None
    if isinstance(verdict, Mapping) and verdict.get("kind") == REPAIR:
        return str(verdict.get("cause", ""))
    return ""


def purchase_body(
    events: Sequence[Event],
    book: Book,
    cause: str,
    cost: float,
    part: str = "",
    reason: str = "",
) -> dict[str, Any]:
    """Give the body of a purchase; one against the verdict, or before there was one, needs a reason.

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
    body: dict[str, Any] = {"part": part, "cause": cause, "cost": cost, "against_verdict": against}
    return {**body, "reason": reason} if reason else body


def repair_body(
    events: Sequence[Event],
    book: Book,
    cause: str,
    *,
    action: str = "",
    minutes: float | None = None,
    note: str = "",
) -> dict[str, Any]:
    """Give the body of a repair.

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
    body: dict[str, Any] = {"cause": cause, "action": action}
    if action == "replace":
        body["component"] = book.causes[cause].component
    body["voids"] = _inspections_of(book, book.causes[cause].component)
    if minutes is not None:
        body["minutes"] = minutes
    return {**body, "note": note} if note else body


def mending_body(
    events: Sequence[Event],
    book: Book,
    cause: str,
    *,
    minutes: float | None = None,
    cost: float | None = None,
    note: str = "",
) -> dict[str, Any]:
    """Give the body of a mending: a defect that was seen directly and put right, proven or not.

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
    body = {"cause": cause, "minutes": minutes, "cost": cost, "note": note or None}
    return {key: value for key, value in body.items() if value is not None}


def watch_body(events: Sequence[Event], since: str, note: str = "") -> dict[str, Any]:
    """Give the body of what was seen after the last mending.

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
    return {"since": since, "note": note} if note else {"since": since}


def verification_body(
    events: Sequence[Event],
    book: Book,
    *,
    repeated: Sequence[Mapping[str, Any]] = (),
    codes_cleared: bool = False,
    codes_now: Sequence[Any] = (),
    monitors_run: Sequence[str] = (),
    note: str = "",
) -> dict[str, Any]:
    """Give the body of a verification; ``closing.confirmation`` says what it is worth.

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
    if not any(event.kind in MENDS for event in events):
        raise _refused(events, "no-repair", "a verification without a repair before it", "a repair")
    body: dict[str, Any] = {
        "repeated": [dict(item) for item in repeated],
        "codes_cleared": codes_cleared,
        "codes_now": list(codes_now),
        "monitors_run": list(monitors_run),
    }
    document = {
        "codes": body["codes_now"],
        "readings": body["repeated"],
        "monitors_run": body["monitors_run"],
    }
    sheet_of(case_of(document, book), book)
    return {**body, "note": note} if note else body


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
