"""The case file: a YAML stream, one document an event, appended and never rewritten.

Each event carries the digest of the one before it, so that nobody can alter, remove, swap, double or slip in
an event without the next digest giving it away. What a chain alone cannot show is a cut tail: for that the
last digest, the head, must have been kept elsewhere, as on a printed report.

What the bodies hold:

=============  =====================================================================================
intake         the intake document
reading        inspection; result, value or series; conditions, instrument, fault, old_part
withdrawal     event (the number of a reading, note or amendment), reason
note           text; adds (a part of an intake document that is merged into it), optional
amendment      drops (key to the items taken out of the intake document), adds (as for a note); one at least
advice         book (digest), engine, inputs (the merged intake document), result (the triage as JSON)
purchase       part, cause, cost, against_verdict, reason
repair         cause, action, part, cost, minutes, note
verification   repeated ([{inspection, result}]), codes_cleared, codes_now, monitors_run, note
close          outcome, cause, note
reopening      reason
mending        cause, minutes, cost, note
watch          since (stays-away or comes-back), note
signature      event, head (its digest), key, signature: of an event before, see ``record/signing.py``
timestamp      event, head (its digest), reply: of an authority, see ``record/stamping.py``
=============  =====================================================================================
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from proveout.model.problem import BadInputError, DamagedRecordError, EngineError, Place, Problem
from proveout.record import files
from proveout.record import verify as chain
from proveout.record.event import NO_PREVIOUS, Event, misshapen, parse, seal, write
from proveout.record.header import BEGINS, HEADER
from proveout.record.verify import Verification

__all__ = [
    "Event",
    "Verification",
    "append",
    "append_all",
    "create",
    "is_case",
    "is_case_file",
    "mend_torn",
    "read",
    "verify",
]


def is_case_file(text: str | bytes) -> bool:
    """Say whether this is how a case file begins (and not, say, an intake document)."""
    return text.startswith(BEGINS) if isinstance(text, str) else text.startswith(BEGINS.encode())


def is_case(path: Path) -> bool:
    """Say whether a file is a case file by how it begins.

    Raises:
        BadInputError: it cannot be read.
    """
    return is_case_file(files.read(path))


def create(
    path: Path,
    body: Mapping[str, Any],
    at: str,
    then: Sequence[tuple[str, Mapping[str, Any]]] = (),
    by: str = "",
) -> Event:
    """Start a case file with its intake, and with what follows from it at once; give its last event.

    Args:
        path: where nothing stands yet; its directory exists.
        body: the intake document.
        at: the time, UTC.
        then: kind and body of the events after it, which are kept together with it or not at all.
        by: who does it.

    Raises:
        BadInputError: something stands there, it cannot be written, or a body cannot be kept.
    """
    events = [seal(1, at, "intake", NO_PREVIOUS, body, by)]
    events += _following(events[0], then, at, by)
    files.create(path, HEADER.encode() + b"".join(_proofread(event) for event in events))
    return events[-1]


def _following(
    last: Event, entries: Sequence[tuple[str, Mapping[str, Any]]], at: str, by: str
) -> list[Event]:
    """Seal events one upon the other."""
    events = [last]
    for kind, body in entries:
        events.append(seal(events[-1].n + 1, at, kind, events[-1].digest, body, by))
    return events[1:]


def append(
    path: Path,
    kind: str,
    body: Mapping[str, Any],
    at: str,
    expect_head: str | None = None,
    by: str = "",
) -> Event:
    """Append an event as ``append_all`` does."""
    return append_all(path, ((kind, body),), at, expect_head, by)[0]


def append_all(
    path: Path,
    entries: Sequence[tuple[str, Mapping[str, Any]]],
    at: str,
    expect_head: str | None = None,
    by: str = "",
) -> tuple[Event, ...]:
    """Append events in one write, so that either all of them are kept or none.

    Only the last event of the file is checked before; ``read`` checks them all.

    Args:
        path: the case file.
        entries: of each its kind, one of ``event.KINDS`` but ``intake``, and what happened.
        at: the time, UTC.
        expect_head: the digest that the caller saw as the last one; the file is refused where another is.
        by: who does it.

    Raises:
        BadInputError: it cannot be written or kept, or the case has gone on meanwhile.
        DamagedRecordError: the last event is torn or altered.
    """
    if any(kind == "intake" for kind, _ in entries):
        raise _refused(path, "second-intake", "a second intake", "record a note that adds what is new")
    with files.held(path) as file:
        last = chain.last_event(file.read(), files.shown(path))
        if expect_head not in (None, last.digest):
            saw = f"the case has gone on: event {last.n}, {last.kind}, came meanwhile"
            raise _refused(path, "moved-on", saw, "look at the case again, then repeat this")
        events = _following(last, entries, at, by)
        file.append(b"".join(_proofread(event) for event in events))
    return tuple(events)


def read(path: Path) -> tuple[Event, ...]:
    """Read and verify a case file.

    Raises:
        BadInputError: it cannot be read or is no case file.
        DamagedRecordError: its chain does not hold; each problem lies at the event's line.
    """
    found = verify(path)
    if not found.sound:
        raise DamagedRecordError(*found.problems)
    return found.events


def verify(path: Path, head: str | None = None) -> Verification:
    """Check a case file and list everything that is wrong with it.

    Args:
        path: the case file.
        head: a digest that it is known to contain, so that a cut tail shows.

    Raises:
        BadInputError: it cannot be read or is no case file.
    """
    name = files.shown(path)
    found = chain.check(files.read(path), name, head)
    if found.torn_at is None:
        return found
    try:  # what looks torn may be another process in the middle of writing
        with files.held(path, write=False) as file:
            return chain.check(file.read(), name, head)
    except BadInputError:
        return found


def mend_torn(path: Path) -> Path | None:
    """Move a torn last event into ``<file>.torn`` beside the file, on explicit request only.

    Returns the file with the torn part, or None where nothing was torn.

    Raises:
        BadInputError: a file cannot be read or written.
        DamagedRecordError: something else is wrong with the file too; it is left alone.
    """
    with files.held(path) as file:
        data = file.read()
        found = chain.check(data, files.shown(path))
        if found.torn_at is None:
            if found.problems:
                raise DamagedRecordError(*found.problems)
            return None
        if len(found.problems) > 1:
            raise DamagedRecordError(*found.problems)
        aside = _set_aside(path, data[found.torn_at :])
        file.shorten(found.torn_at)
    return aside


def _set_aside(path: Path, torn: bytes) -> Path:
    """Keep a torn part beside the file, unless a mend broken off before has kept it, and give its name."""
    names = [f"{path.name}.torn", *(f"{path.name}.torn-{count}" for count in range(2, 1000))]
    for aside in map(path.with_name, names):
        try:
            files.create(aside, torn)
            return aside
        except BadInputError as error:
            if error.problems[0].check != "file-exists":
                raise
        if aside.is_file() and not aside.is_symlink() and files.read(aside) == torn:
            return aside
    raise _refused(path, "too-many-torn", "a thousand torn parts lie beside it", "move them elsewhere")


def _refused(path: Path, check: str, saw: str, mend: str) -> BadInputError:
    return BadInputError(Problem(Place(files.shown(path)), check, saw, mend=mend))


def _proofread(event: Event) -> bytes:
    """Spell an event and make sure that it reads back as itself, before it goes to the disk.

    Raises:
        BadInputError: its body is not as ``event.schema.json`` describes its kind, so that no reader took it.
        EngineError: it does not read back: a fault of the program.
    """
    text = write(event)
    problems = misshapen(event, text.decode())
    if problems:
        raise BadInputError(*(replace(one, place=Place(f"the {event.kind}")) for one in problems))
    back = parse(text.decode(), event.place)
    if back != event or write(back) != text:
        raise EngineError("an event would not read back as it was meant; nothing was written")
    return text
