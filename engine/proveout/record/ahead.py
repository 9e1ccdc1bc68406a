"""What is still ahead of a case: the driving until its codes are gone, and an emissions inspection now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from proveout.intake.document import case_of
from proveout.model.book import Book
from proveout.model.case import CodeSeen
from proveout.model.problem import BadInputError, Place, Problem
from proveout.model.terms import Programme
from proveout.readiness.inspection import Inspected, Vehicle, inspect
from proveout.readiness.needs import Need, needs
from proveout.readiness.status import Status
from proveout.record.bodies import Verification, bodies, last_body
from proveout.record.closing import last_mended
from proveout.record.event import Event
from proveout.record.state import merged


def codes_now(events: Sequence[Event], book: Book) -> tuple[CodeSeen, ...]:
    """Give the codes as they were read last: at the last verification, else as the case has them."""
    check = last_body(events, Verification)
    document = merged(events) if check is None else {"codes": check[1].codes_now}
    return case_of(document, book).codes


def unready(events: Sequence[Event], book: Book, status: Status | None = None) -> tuple[str, ...]:
    """Give the monitors that have not completed.

    Args:
        events: of the case.
        book: tells which monitor sets which code.
        status: the status word, where it was read; without it only the monitors of the case's codes are
            known, and only after a clear, which sets all of them back.
    """
    if status is not None:
        return status.unready
    if not _is_cleared(events):
        return ()
    document = merged(events)
    entries = (book.words.codes.get(seen.code) for seen in case_of(document, book).codes)
    own = {entry.monitor for entry in entries if entry} - {""}
    return tuple(sorted(own - _run_since(events)))


def still_to_drive(
    events: Sequence[Event],
    book: Book,
    status: Status | None = None,
    given: Mapping[str, float] | None = None,
) -> tuple[Need, ...]:
    """List what driving is still needed until codes and monitors are as they should be.

    Args:
        events: of the case.
        book: tells which monitor sets which code.
        status: the status word, where it was read.
        given: what is known of the coming drive, by the names in ``enabling.Condition.quantity``.
    """
    monitor_of = {code: entry.monitor for code, entry in book.words.codes.items()}
    return needs(
        codes_now(events, book), monitor_of, unready(events, book, status), _is_cleared(events), given
    )


def inspected_now(
    events: Sequence[Event],
    book: Book,
    programme: Programme,
    *,
    model_year: int | None = None,
    status: Status | None = None,
    lamp_lights: bool | None = None,
    connector_works: bool = True,
) -> Inspected:
    """Say what an emissions inspection would say now.

    Args:
        events: of the case.
        book: the rules.
        programme: which one; see ``inspection.known_programmes``.
        model_year: the year of the case's vehicle where left out.
        status: the status word, where it was read; without it the lamp counts as on for confirmed codes.
        lamp_lights: whether it lights with the key on and the engine off; None where nobody looked.
        connector_works: whether the diagnostic connector answers.

    Raises:
        BadInputError: the model year is not known.
    """
    year = model_year or merged(events).get("vehicle", {}).get("first_year")
    if year is None:
        place = Place(events[0].place.file)
        raise BadInputError(Problem(place, "no-model-year", "no model year", "the model year of the vehicle"))
    by_status = {
        name: tuple(c.code for c in codes_now(events, book) if c.status == name) for name in _STATUSES
    }
    vehicle = Vehicle(
        int(year),
        lamp_commanded=status.lamp_on if status else bool(by_status["confirmed"]),
        lamp_lights=lamp_lights,
        connector_works=connector_works,
        unready=unready(events, book, status),
        **by_status,
    )
    return inspect(vehicle, programme)


_STATUSES = ("confirmed", "pending", "permanent")


def _is_cleared(events: Sequence[Event]) -> bool:
    """Say whether codes were cleared after the last repair, or at all where there was none."""
    mended = last_mended(events)
    since = mended[0].n if mended else 0
    return any(check.codes_cleared for event, check in bodies(events, Verification) if event.n > since)


def _run_since(events: Sequence[Event]) -> set[str]:
    """Give the monitors that have run since the last clear."""
    checks = [*bodies(events, Verification)]
    clears = [event.n for event, check in checks if check.codes_cleared]
    since = (check for event, check in checks if event.n >= max(clears, default=0))
    return {name for check in since for name in check.monitors_run}
