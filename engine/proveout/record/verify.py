"""Checking a case file's chain: every problem, at the event where it lies.

A file is cut into events after each ``digest`` line, the only line at the margin that begins so. What stands
after the last one is either a torn event, the beginning of one that was being written when the power went,
or something that somebody put there.

Events are blamed singly: after a break, the check goes on from what the next event says of itself, so that
one altered event does not drag all later ones with it.
"""

from __future__ import annotations

import re

import rfc8785
from msgspec import Struct

from proveout.model.problem import BadInputError, DamagedRecordError, Place, Problem
from proveout.record import layout
from proveout.record.event import (
    KINDS,
    NO_PREVIOUS,
    Event,
    check_by,
    check_time,
    digest_of,
    misshapen,
    parse,
    write,
)
from proveout.record.header import BEGINS, HEADER
from proveout.record.remembered import REMEMBERED

_END = re.compile(rb"^digest:[^\n]*\n", re.MULTILINE)

#: Most complaints about the body of one event.
MAX_FAULTS = 20

#: The lines of an event before its body, as far as they are known beforehand.
_LINES = ("---", "n: {n}", "at: ", "kind: ", "previous: {previous}", "body:")


#: So many digits of a digest are printed where there is no room for all; no two events share them by chance.
SHORT_HEAD = 16

_ADVICE = re.compile(
    rb'---\nn: ([1-9][0-9]{0,8})\nat: "([^"\n]*)"\nkind: advice\nprevious: "([0-9a-f]{64})"\nbody:[ \n]'
)
_DIGEST = re.compile(rb'\ndigest: "([0-9a-f]{64})"\n\Z')


class Verification(Struct, frozen=True):
    """What checking a case file found.

    Attributes:
        events: the events that could be read, in the order of the file.
        problems: every problem, in the order of the file; none if the record is whole.
        first_bad: the position (from 1) of the first event with a problem, or None.
        torn_at: the byte at which a torn last event begins, or None; everything before it may still be whole.
        head: the digest of the last event, to be kept elsewhere; "" where there is none.
    """

    events: tuple[Event, ...]
    problems: tuple[Problem, ...]
    first_bad: int | None
    torn_at: int | None
    head: str

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong."""
        return not self.problems


class Chunk(Struct, frozen=True):
    """The bytes of one event: its position from 1, first byte and first line."""

    position: int
    start: int
    line: int
    data: bytes


def check(data: bytes, name: str, head: str | None = None, *, light: bool = False) -> Verification:
    """Check the bytes of a case file.

    Args:
        data: the whole file.
        name: its name, for places.
        head: the digest that its last event, or one of its events if it has grown since, is known to have, or
            its first ``SHORT_HEAD`` digits or more.
        light: of advices, the bulk of a file, check only their places in the chain; their bodies stay empty.

    Raises:
        BadInputError: it is no case file at all, or the head is no digest.
    """
    refuse_other_files(data, name)
    if head is not None:
        _refuse_other_heads(head)
    checker = _Checker(name, light)
    if not data.startswith(HEADER.encode()):
        checker.blame(
            1, Place(name, 1, 1), "altered-header", "the first line was changed", HEADER.rstrip(), _RESTORE
        )
    chunks, tail = split(data)
    for chunk in chunks:
        checker.take(chunk)
    torn = bool(tail.data) and checker.take_tail(tail)
    if head is not None:
        checker.check_head(head, tail)
    return checker.result(tail.start if torn else None)


def _refuse_other_heads(head: str) -> None:
    """Refuse a head that no event can have: what was copied wrongly says nothing about the file."""
    if re.fullmatch(f"[0-9a-f]{{{SHORT_HEAD},64}}", head) is None:
        expected = f"{SHORT_HEAD} to 64 digits 0-9 and a-f, as printed after each command and on the report"
        mend = "copy the head again"
        raise BadInputError(Problem(Place(""), "no-head", f"the head '{head[:80]}'", expected, mend))


def last_event(data: bytes, name: str) -> Event:
    """Return the last event of a case file, checked by itself alone.

    Raises:
        BadInputError: it is no case file.
        DamagedRecordError: the last event is torn or altered.
    """
    refuse_other_files(data, name)
    chunks, tail = split(data)
    checker = _Checker(name)
    if chunks:
        checker.start_at(chunks[-1])
        checker.take(chunks[-1])
    if tail.data:
        checker.take_tail(tail)
    found = checker.result(None)
    if found.problems:
        raise DamagedRecordError(*found.problems)
    return found.events[-1]


def refuse_other_files(data: bytes, name: str) -> None:
    """Refuse a file that was never a case file.

    Raises:
        BadInputError: nothing in it looks like one.
    """
    if data.startswith(BEGINS.encode()) or (_END.search(data) and b"\nprevious: " in data):
        return
    saw = "a file that is no case file" if data.strip() else "an empty file"
    mend = "name a case file; intake makes one"
    raise BadInputError(Problem(Place(name, 1, 1), "no-case-file", saw, "a case file", mend))


def split(data: bytes) -> tuple[list[Chunk], Chunk]:
    """Cut a file into events and the tail after the last of them (of no bytes in a whole file)."""
    start = data.find(b"\n") + 1
    line = 2 if start else 1
    chunks: list[Chunk] = []
    for found in _END.finditer(data, start):
        piece = data[start : found.end()]
        chunks.append(Chunk(len(chunks) + 1, start, line, piece))
        start, line = found.end(), line + piece.count(b"\n")
    return chunks, Chunk(len(chunks) + 1, start, line, data[start:])


class _Checker:
    """Walks along a chain and collects problems."""

    def __init__(self, name: str, light: bool = False) -> None:
        self._name = name
        self._light = light
        self._events: list[Event] = []
        self._problems: list[Problem] = []
        self._first_bad: int | None = None
        self._n = 1
        #: digests that the next event may carry as its previous; None where the event before is unreadable
        self._previous: frozenset[str] | None = frozenset({NO_PREVIOUS})

    def start_at(self, chunk: Chunk) -> None:
        """Begin in the middle of the file, believing what the first event says of its place."""
        self._previous = None
        number = re.match(rb"---\nn: ([1-9][0-9]{0,8})\n", chunk.data)
        self._n = int(number[1]) if number else chunk.position

    def blame(self, position: int, place: Place, check: str, saw: str, expected: str, mend: str) -> None:
        """Note a problem of the event at ``position``."""
        self._problems.append(Problem(place, check, f"event {position}: {saw}", expected, mend))
        if self._first_bad is None:
            self._first_bad = position

    def take(self, chunk: Chunk) -> None:
        """Check the next whole event."""
        place = Place(self._name, chunk.line, 1)
        if self._light and (glanced := _glanced(chunk.data, place)):
            self._digest = glanced.digest
            self._check_order(chunk.position, glanced)
            self._events.append(glanced)
            return
        if known := REMEMBERED.find((self._name, chunk.line, chunk.data)):
            self._digest = known.digest
            self._check_order(chunk.position, known)
            self._events.append(known)
            return
        try:
            event = parse(chunk.data.decode("utf-8"), place)
        except UnicodeDecodeError:
            self._unreadable(chunk, place, "bytes that are not UTF-8")
        except BadInputError as error:
            self._unreadable(chunk, error.problems[0].place, error.problems[0].saw)
        else:
            found = len(self._problems)
            self._check_content(chunk, event)
            if len(self._problems) == found:
                REMEMBERED.keep((self._name, chunk.line, chunk.data), event)
            self._check_order(chunk.position, event)
            self._events.append(event)

    def _unreadable(self, chunk: Chunk, place: Place, saw: str) -> None:
        self.blame(chunk.position, place, "unreadable-event", saw, "an event as it was written", _RESTORE)
        self._n += 1
        self._previous = None

    def _check_content(self, chunk: Chunk, event: Event) -> None:
        """Check that the event is what its digest and its spelling say."""
        try:
            if event.kind not in KINDS:
                raise BadInputError(Problem(event.place, "unknown-kind", "its kind is unknown"))
            check_time(event.at)
            check_by(event.by)
            layout.plain(event.body)
            digest = digest_of(event.n, event.at, event.kind, event.previous, event.body, event.by)
        except (BadInputError, rfc8785.CanonicalizationError):
            digest = ""
        if digest != event.digest:
            saw, expected = "its content or its digest was changed", "what was sealed by its digest"
            self.blame(chunk.position, event.place, "wrong-digest", saw, expected, _RESTORE)
        elif write(event) != chunk.data:
            saw, expected = "its text was changed, though it says the same", "the text as it was written"
            self.blame(chunk.position, event.place, "altered-text", saw, expected, _RESTORE)
        else:
            self._check_shape(chunk, event)
        self._digest = digest

    def _check_shape(self, chunk: Chunk, event: Event) -> None:
        """Check that a sealed event is one that this program would have written, whoever sealed it."""
        if (event.kind == "intake") != (event.n == 1):
            saw = "a second intake" if event.kind == "intake" else f"a case that begins with its {event.kind}"
            expected = "one intake, which comes first"
            self.blame(chunk.position, event.place, "misplaced-intake", saw, expected, _RESTORE)
        for problem in misshapen(event, chunk.data.decode())[:MAX_FAULTS]:
            mend = problem.mend or _RESTORE
            self.blame(chunk.position, problem.place, "misshapen-event", problem.saw, problem.expected, mend)

    def _check_order(self, position: int, event: Event) -> None:
        """Check that the event belongs here, and go on from it."""
        if event.n != self._n:
            self.blame(position, event.place, *_misplaced(event.n, self._n), _RESTORE)
        elif self._previous is not None and event.previous not in self._previous:
            saw = "it does not follow from the event before: one of the two was exchanged"
            self.blame(position, event.place, "broken-chain", saw, "the digest of the event before", _RESTORE)
        self._n = event.n + 1
        self._previous = frozenset({event.digest, self._digest})

    def take_tail(self, tail: Chunk) -> bool:
        """Say whether what follows the last whole event is a torn one; else it is blamed as foreign."""
        place = Place(self._name, tail.line, 1)
        if _could_be_torn(tail.data, self._n, self._previous):
            saw = "it was torn while being written: its end is missing"
            mend = f"set the torn part aside (nothing else is lost): proveout audit {self._name} --mend"
            self.blame(tail.position, place, "torn-event", saw, "a whole event", mend)
            return True
        self.blame(tail.position, place, "foreign-tail", "it is no event", "the end of the file", _RESTORE)
        return False

    def check_head(self, head: str, tail: Chunk) -> None:
        """Check that the event with the digest ``head`` is there."""
        if any(event.digest.startswith(head) for event in self._events):
            return
        saw = f"no event has the digest {head}: the end was cut off or rewritten"
        place = Place(self._name, tail.line, 1)
        self.blame(tail.position, place, "cut-tail", saw, "the event with that digest", _RESTORE)

    def result(self, torn_at: int | None) -> Verification:
        """Return what was found."""
        head = self._events[-1].digest if self._events else ""
        if not self._events and not self._problems:
            self.blame(1, Place(self._name, 1, 1), "no-events", "there is none", "an intake", _RESTORE)
        problems, events = tuple(self._problems), tuple(self._events)
        return Verification(events, problems, self._first_bad, torn_at, head)


_RESTORE = "restore the file from a copy; do not edit case files by hand"


def _glanced(data: bytes, place: Place) -> Event | None:
    """Read of an advice all but its body; None where it is no advice, or not plainly one."""
    head, digest = _ADVICE.match(data), _DIGEST.search(data)
    if head is None or digest is None:
        return None
    at, previous = head[2].decode("utf-8", "replace"), head[3].decode()
    return Event(int(head[1]), at, "advice", previous, {}, digest[1].decode(), place)


def _misplaced(n: int, expected: int) -> tuple[str, str, str]:
    """Word the complaint about an event that says another number than its place."""
    said = f"it says it is number {n}"
    if n > expected:
        return "missing-event", f"{said}: an event before it is missing", f"number {expected}"
    return "repeated-event", f"{said}: it was repeated or moved", f"number {expected}"


def _could_be_torn(tail: bytes, n: int, previous: frozenset[str] | None) -> bool:
    """Say whether ``tail`` is the beginning of an event with this number and predecessor.

    A crash of the machine may leave zeros where the text had not reached the disk.
    """
    text = tail.rstrip(b"\0").decode("utf-8", "replace")
    lines = text.split("\n")
    known = [line.format(n=n, previous="") for line in _LINES]
    for line, start in zip(lines[:-1], known, strict=False):
        if not line.startswith(start) or (start in known[:2] and line != start):
            return False
    if previous is not None and len(lines) > 5 and not any(digest in lines[4] for digest in previous):
        return False
    if len(lines) <= len(known):
        start = known[len(lines) - 1]
        return lines[-1].startswith(start) or start.startswith(lines[-1])
    *body, last = lines[len(known) :]
    if body and re.fullmatch(r"by: [^\n]+", body[-1]):
        return all(line.startswith("  ") for line in body[:-1]) and _is_digest_begun(last)
    if "by: ".startswith(last) or last.startswith("by: "):
        return all(line.startswith("  ") for line in body)
    is_inner = [line.startswith("  ") for line in body]
    return all(is_inner) and bool(last.startswith("  ") or "  ".startswith(last) or _is_digest_begun(last))


def _is_digest_begun(line: str) -> bool:
    """Say whether the line is a beginning of ``digest: "..."``, without its newline."""
    return 'digest: "'.startswith(line) or re.fullmatch(r'digest: "[0-9a-f]{0,64}"?', line) is not None
