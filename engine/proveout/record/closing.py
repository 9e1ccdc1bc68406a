"""Whether a repair is confirmed, and how a case may be closed.

A repair is *confirmed* only by a verification after it: the inspections that had shown the fault come out
normal now, the codes were cleared where a tool can clear them and have not come back, and the monitors that
set them have run. Only confirmed cases teach the book (``learn``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.atom import RESULT
from proveout.model.book import Book
from proveout.model.problem import BadInputError, Place, Problem
from proveout.record.bodies import Close, Mending, Repair, Verification, bodies, last_body
from proveout.record.event import Event
from proveout.record.state import merged

#: How a case can end.
CONFIRMED, NOT_CONFIRMED, REFERRED, NOTHING_WRONG, GIVEN_UP = (
    "confirmed",
    "not-confirmed",
    "referred",
    "nothing-wrong",
    "given-up",
)
OUTCOMES = (CONFIRMED, NOT_CONFIRMED, REFERRED, NOTHING_WRONG, GIVEN_UP)


class Confirmation(Struct, frozen=True):
    """Whether the last repair is confirmed.

    Attributes:
        cause: the cause that was repaired, or "".
        missing: what is still missing, in sentences; none if it is confirmed.
        shown_by: (inspection, result) pairs that had shown the fault before the repair.
    """

    cause: str
    missing: tuple[str, ...]
    shown_by: tuple[tuple[str, str], ...] = ()

    @property
    def confirmed(self) -> bool:
        """Whether nothing is missing."""
        return bool(self.cause) and not self.missing


def confirmation(events: Sequence[Event], book: Book) -> Confirmation:
    """Say whether the last repair of a case is confirmed, and if not, what is missing.

    Raises:
        BadInputError: the case or its verification names something that the book does not have.
    """
    last = last_mended(events)
    if last is None:
        return Confirmation("", ("No repair is recorded.",))
    repair, cause = last[0], last[1].cause
    if cause not in book.causes:
        return Confirmation("", (f"The repair names no cause of the book: '{cause}'.",))
    before = [event for event in events if event.n < repair.n]
    shown_by = direct_evidence(before, book, cause)
    checks = [body for event, body in bodies(events, Verification) if event.n > repair.n]
    if not checks:
        return Confirmation(cause, ("No verification is recorded after the repair.",), shown_by)
    missing = (
        *_not_repeated(shown_by, checks, book, cause),
        *_codes_left(merged(before), checks, book),
    )
    return Confirmation(cause, missing, shown_by)


def last_mended(events: Sequence[Event]) -> tuple[Event, Repair | Mending] | None:
    """Return what was mended last with its event, proven or on trial, or None."""
    found: list[tuple[Event, Repair | Mending]] = [
        one for one in (last_body(events, Repair), last_body(events, Mending)) if one
    ]
    return max(found, key=lambda one: one[0].n, default=None)


def came_back(events: Sequence[Event], book: Book) -> bool:
    """Say whether the last verification after the last repair shows the trouble again.

    It does where an inspection done again was not normal, or a code of the case is stored that is not merely
    permanent.
    """
    repair = last_mended(events)
    check = last_body(events, Verification)
    if repair is None or check is None or check[0].n < repair[0].n:
        return False
    repeated = _results({"readings": list(check[1].repeated)}, book)
    if any(not _is_normal(book, name, result) for name, result in repeated.items()):
        return True
    now = _codes_now(check[1].codes_now)
    return any(now.get(seen.code, "permanent") != "permanent" for seen in case_of(merged(events), book).codes)


def direct_evidence(events: Sequence[Event], book: Book, cause: str) -> tuple[tuple[str, str], ...]:
    """Give the (inspection, result) pairs of a case that show the cause directly."""
    proving = {
        (inspection, result)
        for inspection in book.proved_by.get(cause, ())
        for result in book.inspections[inspection].proves[cause]
    }
    return tuple(sorted(proving & set(_results(merged(events), book).items())))


def close_body(events: Sequence[Event], book: Book, outcome: str, cause: str = "", note: str = "") -> Close:
    """Return how a case ends.

    Args:
        events: of the case so far.
        book: the rules.
        outcome: one of ``OUTCOMES``.
        cause: what it was; for ``confirmed`` the repaired cause where left out.
        note: free text.

    Raises:
        BadInputError: the outcome is unknown or does not follow, or the cause is not in the book.
    """
    place = Place(events[0].place.file)
    if outcome not in OUTCOMES:
        raise BadInputError(
            Problem(place, "unknown-outcome", f"'{outcome}'", f"one of {', '.join(OUTCOMES)}")
        )
    if is_closed(events):
        raise BadInputError(Problem(place, "closed-before", "a case that is closed", "an open case"))
    if outcome == CONFIRMED:
        found = confirmation(events, book)
        if not found.confirmed or cause not in ("", found.cause):
            saw = " ".join(found.missing) or f"the repair was of {found.cause}, not of {cause}"
            mend = f"record what is missing, or close it as {NOT_CONFIRMED}"
            raise BadInputError(Problem(place, "not-confirmed", saw, "a confirmed repair", mend))
        cause = found.cause
    elif cause and cause not in book.causes:
        raise BadInputError(Problem(place, "unknown-id", f"the cause '{cause}'", "a cause of the book"))
    return Close(outcome=outcome, cause=cause, note=note)


def is_closed(events: Sequence[Event]) -> bool:
    """Say whether the case is closed: nothing but notes came after its last close event."""
    for event in reversed(events):
        if event.kind != "note":
            return event.kind == "close"
    return False


def _results(document: Mapping[str, Any], book: Book) -> dict[str, str]:
    """Give the decided result of each inspection done, by the book's limits."""
    sheet = sheet_of(case_of(document, book), book)
    return {
        seen.observable.key: seen.decided
        for seen in sheet.observations
        if seen.observable.kind == RESULT and seen.decided is not None
    }


def _not_repeated(
    shown_by: Sequence[tuple[str, str]], checks: Sequence[Verification], book: Book, cause: str
) -> list[str]:
    """Say which inspections that had shown the fault were not repeated with a normal result."""
    repeated = _results({"readings": [item for body in checks for item in body.repeated]}, book)
    if not shown_by:
        proving = book.proved_by.get(cause, ())
        if any(_is_normal(book, name, repeated.get(name)) for name in proving):
            return []
        return [f"No inspection had shown the fault; one of {', '.join(proving)} must come out normal now."]
    return [
        f"{name} gave {result} before the repair and must be repeated with a normal result"
        + (f", but gave {repeated[name]}." if name in repeated else ".")
        for name, result in shown_by
        if not _is_normal(book, name, repeated.get(name))
    ]


def _is_normal(book: Book, inspection: str, result: str | None) -> bool:
    return any(entry.normal for entry in book.inspections[inspection].results if entry.id == result)


def _codes_left(document: Mapping[str, Any], checks: Sequence[Verification], book: Book) -> list[str]:
    """Say which codes were not cleared or came back, and which monitors have not run."""
    codes = {seen.code: seen for seen in case_of(document, book).codes}
    if not codes:
        return []
    missing = []
    if not any(body.codes_cleared for body in checks) and any(
        seen.status != "permanent" for seen in codes.values()
    ):
        missing.append("The codes were not cleared.")
    now = _codes_now(checks[-1].codes_now)
    missing += [f"{code} is stored again." for code in codes if now.get(code, "permanent") != "permanent"]
    ran = {name for body in checks for name in body.monitors_run}
    wanted = {book.words.codes[code].monitor for code in codes if code in book.words.codes} - {""}
    missing += [f"The {monitor} monitor has not run since." for monitor in sorted(wanted - ran)]
    return missing


def _codes_now(codes: Sequence[Any]) -> dict[str, str]:
    """Return the codes read at a verification with their status."""
    return {
        str(item["code"] if isinstance(item, Mapping) else item): (
            str(item.get("status", "confirmed")) if isinstance(item, Mapping) else "confirmed"
        )
        for item in codes
    }
