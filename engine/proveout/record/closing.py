"""Whether a repair is confirmed, and how a case may be closed.

A repair is *confirmed* only by a verification after it: the inspections that had shown the fault come out
normal now where repeating them makes sense, and each code stays away over what its kind asks for
(``readiness.held``); without codes, what was noticed is gone. Only confirmed cases teach (``learn``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.atom import CANNOT_TELL, RESULT
from proveout.model.book import Book
from proveout.model.case import CodeSeen
from proveout.model.entries import Cause, Component, Inspection
from proveout.model.problem import BadInputError, Place, Problem
from proveout.readiness.held import Since, asked, is_counted_out, lacking
from proveout.record.bodies import Close, Mending, Reopening, Repair, Verification, bodies, last_body
from proveout.record.event import OF_THE_RECORD, Event
from proveout.record.state import merged
from proveout.text.unhyphened import unhyphened

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


class _ToldOtherwise(Struct, frozen=True):
    """Whether codes or symptoms of the case tell that a repair held, and whether counters at zero do."""

    at_all: bool
    counted_out: bool


def confirmation(events: Sequence[Event], book: Book) -> Confirmation:
    """Say whether the last repair of a case is confirmed, and if not, what is missing.

    Raises:
        BadInputError: the case or its verification names something that the book does not have.
    """
    last = last_mended(events)
    if last is None:
        return Confirmation("", ("No repair is recorded.",))
    (mended, repair), cause = last, last[1].cause
    if cause not in book.causes:
        return Confirmation("", (f"The repair names no cause of the book: '{cause}'.",))
    before = [event for event in events if event.n < mended.n]
    shown_by = direct_evidence(before, book, cause)
    begun = max(event.n for event in events if event.kind in (Repair.kind, Mending.kind, Reopening.kind))
    checks = [body for event, body in bodies(events, Verification) if event.n > begun]
    if not checks:
        return Confirmation(cause, ("No verification is recorded after the repair.",), shown_by)
    since = since_repair(repair, checks)
    codes = _codes_with_monitors(merged(before), book)
    told = _ToldOtherwise(
        at_all=bool(codes or merged(before).get("symptoms")),
        counted_out=is_counted_out({seen.code: monitor for seen, monitor in codes}, since),
    )
    missing = (
        *_not_repeated(repair, shown_by, checks, book, told),
        *(one for seen, monitor in codes for one in lacking(seen, monitor, since)),
        *_symptoms_left(merged(before), checks, since, book),
    )
    return Confirmation(cause, tuple(dict.fromkeys(missing)), shown_by)


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
    """Return the (inspection, result) pairs of a case that show the cause directly."""
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
    check_open(events)
    if outcome == CONFIRMED:
        found = confirmation(events, book)
        if not found.confirmed or cause not in ("", found.cause):
            repaired, meant = called(book.causes, found.cause), called(book.causes, cause)
            saw = " ".join(found.missing) or f"the repair was of {repaired}, not of {meant}"
            mend = f"record what is missing, or close it as {NOT_CONFIRMED}"
            raise BadInputError(Problem(place, "not-confirmed", saw, "a confirmed repair", mend))
        cause = found.cause
    elif cause and cause not in book.causes:
        raise BadInputError(Problem(place, "unknown-id", f"the cause '{cause}'", "a cause of the book"))
    return Close(outcome=outcome, cause=cause, note=note)


def is_closed(events: Sequence[Event]) -> bool:
    """Say whether the case is closed."""
    return ending(events) is not None


def ending(events: Sequence[Event]) -> Mapping[str, Any] | None:
    """Return the body of the close event of a closed case, after which nothing but notes came, else None.

    Signatures and stamps of the record say nothing of the case.
    """
    aside = ("note", *OF_THE_RECORD)
    last = next((event for event in reversed(events) if event.kind not in aside), None)
    return last.body if last is not None and last.kind == "close" else None


def check_open(events: Sequence[Event]) -> None:
    """Refuse to go on with a closed case unless it was opened again on purpose.

    Raises:
        BadInputError: it is closed.
    """
    body = ending(events)
    if body is None:
        return
    place = Place(events[0].place.file)
    saw = f"a case that is closed as {body.get('outcome')}"
    mend = f"if the fault is back: proveout reopen {place.file or 'CASE'} --reason TEXT; else open a new case"
    raise BadInputError(Problem(place, "closed-before", saw, "an open case", mend))


def reopening_body(events: Sequence[Event], reason: str) -> Reopening:
    """Return the event that opens a closed case again.

    Raises:
        BadInputError: it is not closed, or no reason is given.
    """
    place = Place(events[0].place.file)
    if not is_closed(events):
        raise BadInputError(Problem(place, "not-closed", "a case that is open", "a closed case"))
    if not reason.strip():
        raise BadInputError(Problem(place, "reason-missing", "no reason", "why it is opened again"))
    return Reopening(reason=reason)


def _results(document: Mapping[str, Any], book: Book) -> dict[str, str]:
    """Return the decided result of each inspection done, by the book's limits."""
    sheet = sheet_of(case_of(document, book), book)
    return {
        seen.observable.key: seen.decided
        for seen in sheet.observations
        if seen.observable.kind == RESULT and seen.decided is not None
    }


def since_repair(repair: Repair | Mending, checks: Sequence[Verification]) -> Since:
    """Put together what is known since a repair; of codes and counters the last reading counts."""
    read = [body for body in checks if body.read_codes]
    counters = [body.counters for body in checks if body.counters]
    return Since(
        cleared=(isinstance(repair, Repair) and bool(repair.codes_cleared))
        or any(body.codes_cleared for body in checks),
        read=bool(read),
        now=_codes_now(read[-1].codes_now) if read else {},
        driven_km=sum((body.driven_km or 0.0 for body in checks), 0.0),
        counters=counters[-1] if counters else {},
        monitors=frozenset(name for body in checks for name in body.monitors_run),
    )


def monitor_of(code: str, book: Book) -> str:
    """Return the readiness monitor that sets a code, "" where none is known."""
    entry = book.words.codes.get(code)
    return entry.monitor if entry else ""


def what_confirms(events: Sequence[Event], book: Book) -> tuple[str, ...]:
    """Say for each code of a case what shows that it stays away."""
    codes = case_of(merged(events), book).codes
    return tuple(asked(seen.code, monitor_of(seen.code, book)) for seen in codes)


def _not_repeated(
    repair: Repair | Mending,
    shown_by: Sequence[tuple[str, str]],
    checks: Sequence[Verification],
    book: Book,
    told_otherwise: _ToldOtherwise,
) -> list[str]:
    """Say which inspections that had shown the fault were not repeated with a normal result.

    Where codes or symptoms tell as well, a swap is not repeated, nor a look at a part that is gone; counters
    at zero stand in for any repeat.
    """
    results = _results({"readings": [item for body in checks for item in body.repeated]}, book)
    repeated = {name: result for name, result in results.items() if result != CANNOT_TELL}
    proving = book.proved_by.get(repair.cause, ())
    failed = [name for name in repeated if name in proving and not _is_normal(book, name, repeated[name])]
    if failed:
        return [
            f"“{book.inspections[name].title}” was repeated, but gave “{unhyphened(repeated[name])}”."
            for name in failed
        ]
    if told_otherwise.counted_out:
        return []
    if not shown_by:
        if any(name in repeated for name in proving):
            return []
        titles = ", ".join(book.inspections[name].title for name in proving)
        return [f"No inspection had shown the fault; one of these must come out normal now: {titles}."]
    return [
        f"“{book.inspections[name].title}” gave “{unhyphened(result)}” before the repair and must be "
        "repeated with a normal result."
        for name, result in shown_by
        if name not in repeated and (not told_otherwise.at_all or _can_repeat(book, name, repair))
    ]


def _can_repeat(book: Book, inspection: str, repair: Repair | Mending) -> bool:
    """Say whether an inspection makes sense once more after a repair."""
    kind = book.inspections[inspection].kind
    gone = isinstance(repair, Repair) and bool(repair.component)
    return kind != "swap" and not (kind == "visual" and gone)


def _is_normal(book: Book, inspection: str, result: str | None) -> bool:
    return any(entry.normal for entry in book.inspections[inspection].results if entry.id == result)


def _codes_with_monitors(document: Mapping[str, Any], book: Book) -> tuple[tuple[CodeSeen, str], ...]:
    return tuple((seen, monitor_of(seen.code, book)) for seen in case_of(document, book).codes)


def _symptoms_left(
    document: Mapping[str, Any], checks: Sequence[Verification], since: Since, book: Book
) -> list[str]:
    """Say what a case without codes still asks for: that what was noticed is gone."""
    noticed = document.get("symptoms", ())
    if document.get("codes") or not noticed or since.far_enough:
        return []
    if {name for body in checks for name in body.gone} & set(noticed):
        return []
    titles = (book.words.symptoms[name].title for name in noticed if name in book.words.symptoms)
    asked_for = f"say so ({', '.join(titles)}), or drive and say how far"
    return [f"Whether it is gone was not looked for: {asked_for}."]


def _codes_now(codes: Sequence[Any]) -> dict[str, str]:
    """Return the codes read at a verification with their status."""
    return {
        str(item["code"] if isinstance(item, Mapping) else item): (
            str(item.get("status", "confirmed")) if isinstance(item, Mapping) else "confirmed"
        )
        for item in codes
    }


def called(entries: Mapping[str, Cause | Inspection | Component], name: str) -> str:
    """Return what an entry is called, in quotes; one that no book at hand has by its id."""
    entry = entries.get(name)
    return f"“{entry.title}”" if entry else name
