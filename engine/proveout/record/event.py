"""One event of a case file: its content, its digest, and how it is spelled.

A digest is SHA-256 over ``TAG`` and the canonical JSON (RFC 8785) of the event without its digest. Besides,
each event must be spelled exactly as ``layout`` spells it, so that no byte of the file is free to change.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from msgspec import Struct
from msgspec.structs import astuple, replace

from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.record import layout
from proveout.text.canonical import canonical
from proveout.text.compose import compose
from proveout.text.node import find, plain
from proveout.text.schema import fits, validate

#: Keeps these digests apart from any other use of SHA-256.
TAG = b"proveout/case-event/1\0"

#: What an event can be.
KINDS = (
    "intake",
    "reading",
    "withdrawal",
    "advice",
    "purchase",
    "repair",
    "verification",
    "close",
    "note",
    "amendment",
    "reopening",
    "mending",
    "watch",
    "signature",
    "timestamp",
)

#: Stands in the first event for the digest of the event before.
NO_PREVIOUS = "0" * 64

_TYPES: Mapping[str, type] = {"n": int, "at": str, "kind": str, "previous": str, "body": dict, "digest": str}

#: Longest name of whoever did something.
MOST_BY = 100

#: Kinds that say something of the record itself and not of the case.
OF_THE_RECORD = ("signature", "timestamp")

_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d{1,6})?Z")


class Event(Struct, frozen=True, eq=False):
    """One event of a case.

    Attributes:
        n: its number, from 1 without gaps.
        at: when, as given by the caller: ISO 8601 in UTC, ending in Z.
        kind: one of ``KINDS``.
        previous: digest of the event before, ``NO_PREVIOUS`` in the first.
        body: what happened; plain dict, list and scalar values.
        digest: SHA-256 in hex over all of the above.
        place: where it begins in the file.
        by: who did it, as the writer said; "" where nothing was said.
    """

    n: int
    at: str
    kind: str
    previous: str
    body: Mapping[str, Any]
    digest: str
    place: Place = NOWHERE
    by: str = ""

    def __eq__(self, other: object) -> bool:
        """Say whether the other is the same event, wherever it stands."""
        return isinstance(other, Event) and astuple(replace(self, place=NOWHERE)) == astuple(
            replace(other, place=NOWHERE)
        )

    def __ne__(self, other: object) -> bool:
        """Say the opposite; a struct does not derive it."""
        return not self == other


def seal(n: int, at: str, kind: str, previous: str, body: Mapping[str, Any], by: str = "") -> Event:
    """Make an event with its digest.

    Raises:
        BadInputError: an unknown kind, a time that is not UTC in ISO 8601, a body that cannot be kept, or a
        name that is too long or holds more than one line.
    """
    if kind not in KINDS:
        expected = f"one of {', '.join(KINDS)}"
        raise BadInputError(Problem(NOWHERE, "unknown-kind", f"an event '{kind}'", expected))
    check_time(at)
    check_by(by)
    kept = layout.plain(body)
    digest = digest_of(n, at, kind, previous, kept, by)
    return Event(n, at, kind, previous, kept, digest, by=by)


def check_by(by: str) -> None:
    """Refuse a name of whoever did something that is no plain line of text.

    Raises:
        BadInputError: it is not.
    """
    if not isinstance(by, str) or len(by) > MOST_BY or not by.isprintable() or by != by.strip():
        expected = f"one line of at most {MOST_BY} characters, without spaces around it"
        raise BadInputError(Problem(NOWHERE, "bad-name", f"the name {by!r:.200}", expected))


def digest_of(n: int, at: str, kind: str, previous: str, body: Mapping[str, Any], by: str = "") -> str:
    """Return the digest, in hex, that an event with this content must carry."""
    content: dict[str, Any] = {"n": n, "at": at, "kind": kind, "previous": previous, "body": body}
    if by:
        content["by"] = by
    return hashlib.sha256(TAG + canonical(content)).hexdigest()


def check_time(at: str) -> None:
    """Refuse a time that is not ISO 8601 in UTC with a Z.

    Raises:
        BadInputError: it is not.
    """
    try:
        if not _TIME.fullmatch(at):
            raise ValueError
        datetime.fromisoformat(at)
    except (TypeError, ValueError):
        expected = "UTC as 2031-05-04T09:30:00Z"
        raise BadInputError(Problem(NOWHERE, "bad-time", f"the time '{at}'", expected)) from None


def write(event: Event) -> bytes:
    """Spell an event as it stands in the file."""
    content = {
        "n": event.n,
        "at": event.at,
        "kind": event.kind,
        "previous": event.previous,
        "body": event.body,
        **({"by": event.by} if event.by else {}),
        "digest": event.digest,
    }
    return f"---\n{layout.render(content)}".encode()


def parse(text: str, place: Place) -> Event:
    """Read the text of one event; nothing is checked but that it has the keys and types of one.

    Args:
        text: from its ``---`` line to its digest line.
        place: where it begins in the file.

    Raises:
        BadInputError: it is not YAML, or not an event.
    """
    try:
        content = plain(compose(text, place.file))
    except BadInputError as error:
        raise BadInputError(*(_moved(problem, place) for problem in error.problems)) from None
    if not isinstance(content, dict) or any(
        not isinstance(content.get(key), kind) for key, kind in _TYPES.items()
    ):
        raise BadInputError(Problem(place, "not-an-event", "no event", f"the keys {', '.join(_TYPES)}"))
    others = content.keys() - _TYPES.keys() - {"by"}
    if others or not (isinstance(content.get("by", "-"), str) and content.get("by", "-")):
        saw = f"the key '{min(others)}'" if others else "an empty 'by'"
        raise BadInputError(Problem(place, "not-an-event", saw, f"only {', '.join(_TYPES)}, by"))
    return Event(**content, place=place)


def misshapen(event: Event, text: str) -> tuple[Problem, ...]:
    """Say what about an event's body is not as ``event.schema.json`` describes its kind, if anything.

    Args:
        event: of a known kind.
        text: its text, in which the places are looked for.
    """
    if fits(event.body, "event", event.kind):
        return ()
    body = find(compose(text, event.place.file), ("body",))
    faults = validate(body, "event", event.kind)
    if not faults:
        saw = f"a body that no {event.kind} has"
        return (Problem(event.place, "misshapen-event", saw, "one as described in event.schema.json"),)
    return tuple(_moved(problem, event.place) for problem in faults)


def _moved(problem: Problem, place: Place) -> Problem:
    """Put a problem found in the text of one event where it is in the whole file."""
    found = problem.place
    line = max(found.line, 1) + place.line - 1
    return replace(problem, place=Place(found.file, line, max(found.column, 1)))
