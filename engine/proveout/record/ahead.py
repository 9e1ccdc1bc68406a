"""What is still ahead of a case: the driving until its codes are gone, and an emissions inspection now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from proveout.intake.document import case_of, unknown_id
from proveout.intake.resolve import resolve, titled
from proveout.model.book import Book
from proveout.model.case import CodeSeen
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.model.terms import Programme
from proveout.readiness.inspection import Inspected, Vehicle, inspect
from proveout.readiness.needs import Need, needs
from proveout.readiness.status import COMPRESSION, CONTINUOUS, SPARK, USUAL_SPARK, Status
from proveout.record.bodies import Repair, Verification, bodies
from proveout.record.closing import last_mended
from proveout.record.event import Event
from proveout.record.state import merged, withdrawn


class Named(Struct, frozen=True):
    """Monitors by name as a reader shows them: ready, not ready, and whether all others are ready."""

    ready: tuple[str, ...] = ()
    unready: tuple[str, ...] = ()
    rest_ready: bool = False


class Readiness(Struct, frozen=True):
    """What is known of the monitors.

    Attributes:
        unready: those that have not completed, known or set back by clearing.
        unknown: those of which nothing is known; silence is no readiness.
    """

    unready: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def named(ready: Sequence[str], unready: Sequence[str]) -> Named:
    """Take monitors by name; ``rest`` among the ready ones stands for all that are not named.

    Raises:
        BadInputError: there is no such monitor, or one is named as both.
    """
    known = sorted({*SPARK, *COMPRESSION, *CONTINUOUS} - {""})
    ready, unready = ([resolve(name, titled(known)) for name in names] for names in (ready, unready))
    for name in (*ready, *unready):
        if name not in known and (name != REST or name in unready):
            raise BadInputError(unknown_id("monitor", name, [*known, REST], NOWHERE))
    both = sorted(set(ready) & set(unready))
    if both:
        saw = f"{both[0]} as ready and as not ready"
        raise BadInputError(Problem(NOWHERE, "ready-and-not", saw, "one of the two"))
    return Named(tuple(name for name in ready if name != REST), tuple(unready), REST in ready)


#: Stands for all monitors that are not named.
REST = "rest"
#: Recent work that sets all monitors back.
_RESETTING = frozenset({"codes-cleared", "battery-disconnected"})


def codes_now(events: Sequence[Event], book: Book) -> tuple[CodeSeen, ...]:
    """Return the codes as read last: at a verification, else as the case has them; none once cleared."""
    check = _last_read(events)
    if check is not None:
        document: Mapping[str, Any] = {"codes": check.codes_now}
    else:
        document = {} if _is_cleared(events) else merged(events)
    return case_of(document, book).codes


def readiness(
    events: Sequence[Event], book: Book, status: Status | None = None, names: Named | None = None
) -> Readiness:
    """Say which monitors have not completed, and of which nothing is known.

    Clearing the codes, or taking the battery off, sets all of them back; from then on only those count as
    ready that were seen to have run or are named.

    Args:
        events: of the case.
        book: tells which monitor sets which code.
        status: the status word, where it was read; it says all.
        names: monitors by name.
    """
    if status is not None:
        return Readiness(status.unready)
    said, (reset, ran) = names or Named(), _since_reset(events)
    known = {*said.ready, *said.unready, *ran}
    rest = () if said.rest_ready else tuple(m for m in _fitted(events, book) if m not in known)
    if reset:
        return Readiness(tuple(dict.fromkeys((*said.unready, *rest))))
    return Readiness(said.unready, rest)


def _fitted(events: Sequence[Event], book: Book) -> tuple[str, ...]:
    """Return the monitors that the vehicle can be taken to have: the usual ones, and those of its codes."""
    document = merged(events)
    fuel = str(document.get("vehicle", {}).get("fuel", "")).casefold()
    usual = [name for name in COMPRESSION if name] if "diesel" in fuel else list(USUAL_SPARK)
    entries = (book.words.codes.get(seen.code) for seen in case_of(document, book).codes)
    own = sorted({entry.monitor for entry in entries if entry} - {"", *usual})
    return (*own, *usual)


def _since_reset(events: Sequence[Event]) -> tuple[bool, frozenset[str]]:
    """Say whether the monitors were ever set back, and which have run since."""
    reset, ran, gone = False, set[str](), withdrawn(events)
    for event in events:
        if event.n in gone:
            continue
        facts = event.body.get("adds", {}) if event.kind in ("note", "amendment") else event.body
        if facts.get("codes_cleared") or _RESETTING.intersection(facts.get("recent_work", ())):
            reset, ran = True, set()
        ran.update(str(name) for name in facts.get("monitors_run", ()))
    return reset, frozenset(ran)


def still_to_drive(
    events: Sequence[Event],
    book: Book,
    status: Status | None = None,
    given: Mapping[str, float] | None = None,
    names: Named | None = None,
) -> tuple[Need, ...]:
    """List what driving is still needed until codes and monitors are as they should be.

    Args:
        events: of the case.
        book: tells which monitor sets which code.
        status: the status word, where it was read.
        given: what is known of the coming drive, by the names in ``enabling.Condition.quantity``.
        names: monitors by name.
    """
    unready = readiness(events, book, status, names).unready
    monitor_of = {code: entry.monitor for code, entry in book.words.codes.items()}
    return needs(codes_now(events, book), monitor_of, unready, _is_cleared(events), given)


def inspected_now(
    events: Sequence[Event],
    book: Book,
    programme: Programme,
    *,
    model_year: int | None = None,
    status: Status | None = None,
    lamp_lights: bool | None = None,
    connector_works: bool = True,
    names: Named | None = None,
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
        names: monitors by name.

    Raises:
        BadInputError: the model year is not known.
    """
    year = model_year or merged(events).get("vehicle", {}).get("first_year")
    if year is None:
        place = Place(events[0].place.file)
        raise BadInputError(Problem(place, "no-model-year", "no model year", "the model year of the vehicle"))
    found = readiness(events, book, status, names)
    by_status = {
        name: tuple(c.code for c in codes_now(events, book) if c.status == name) for name in _STATUSES
    }
    vehicle = Vehicle(
        int(year),
        lamp_commanded=status.lamp_on if status else bool(by_status["confirmed"]),
        lamp_lights=lamp_lights,
        connector_works=connector_works,
        unready=found.unready,
        unknown=found.unknown,
        codes_read=status is not None or not _is_cleared(events) or _last_read(events) is not None,
        **by_status,
    )
    return inspect(vehicle, programme)


_STATUSES = ("confirmed", "pending", "permanent")


def _last_read(events: Sequence[Event]) -> Verification | None:
    """Return the last verification at which the codes were read."""
    checks = [check for _, check in bodies(events, Verification) if check.read_codes]
    return checks[-1] if checks else None


def _is_cleared(events: Sequence[Event]) -> bool:
    """Say whether codes were cleared with or after the last repair, or at all where there was none."""
    mended = last_mended(events)
    since = mended[0].n if mended else 0
    cleared = [event.n for event, check in bodies(events, Verification) if check.codes_cleared]
    cleared += [event.n for event, done in bodies(events, Repair) if done.codes_cleared]
    return max(cleared, default=-1) >= since
