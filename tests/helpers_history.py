"""A whole case on the small book, wrong repair and right one, and ways of rewriting its history."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import deepcopy
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from helpers_book import write_book
from helpers_record import advice_of, at
from proveout.model.book import Book
from proveout.record import snapshot
from proveout.record.deeds import purchase_body, repair_body
from proveout.record.event import NO_PREVIOUS, Event, seal, write
from proveout.record.header import HEADER
from proveout.record.signing import new_key, signature_of
from proveout.record.state import merged

INTAKE = {"codes": ["P0455"], "vehicle": {"age_years": 14, "mileage_km": 50_000}}


@cache
def small_book() -> Book:
    with TemporaryDirectory() as home:
        return snapshot.book_of(snapshot.take((write_book(Path(home) / "rules"),)))


class Story:
    """Writes a case event by event, with the advices that the program would give."""

    def __init__(self, by: str = "Ann") -> None:
        self.events: tuple[Event, ...] = ()
        self.by = by
        self.add("intake", INTAKE, advised=True)

    def add(self, kind: str, body: dict[str, Any], *, advised: bool = False) -> None:
        previous = self.events[-1].digest if self.events else NO_PREVIOUS
        n = len(self.events) + 1
        self.events += (seal(n, at(n), kind, previous, body, self.by),)
        if advised:
            self.add("advice", {**advice_of(small_book(), merged(self.events)), "snapshot": "0" * 64})

    def bought(self, cause: str, cost: float, reason: str = "") -> None:
        self.add("purchase", purchase_body(self.events, small_book(), cause, cost, reason=reason).kept())

    def mended(self, cause: str, **done: Any) -> None:
        self.add("repair", repair_body(self.events, small_book(), cause, **done).kept())


def a_case(*, last_look: bool = True) -> tuple[Event, ...]:
    """Return a case with a wrong repair against the advice, the code back, and the right one confirmed.

    Args:
        last_look: whether the look that the advice asks for before the second part is bought is made.
    """
    story = Story()
    story.add("reading", {"inspection": "hose-look", "result": "whole"}, advised=True)
    story.bought("hose-cracked", 12.5, "the hose was in stock")
    story.mended("hose-cracked", minutes=20.0)
    story.add("verification", {"repeated": [], "codes_cleared": True, "codes_now": ["P0455"]})
    story.add("reading", {"inspection": "valve-holds", "value": "-10 kPa"}, advised=True)
    if last_look:
        story.add("reading", {"inspection": "hose-look", "result": "whole"}, advised=True)
    story.bought("valve-leaks", 62.0, "" if last_look else "the hose is new")
    story.mended("valve-leaks", minutes=35.0)
    proof = {"repeated": [{"inspection": "valve-holds", "result": "holds"}], "codes_cleared": True}
    run = {"codes_read": True, "driven_km": 60.0, "monitors_run": ["evap"]}
    story.add("verification", {**proof, "codes_now": [], **run})
    story.add("close", {"outcome": "confirmed", "cause": "valve-leaks"})
    return story.events


def signed(events: Sequence[Event], key: bytes | None = None) -> tuple[Event, ...]:
    """Return the events with a signature of the last one after them."""
    last = events[-1]
    body = signature_of(last, key or new_key(), last.at, "Ann")
    return (*events, seal(last.n + 1, last.at, "signature", last.digest, body.kept(), "Ann"))


def file_of(events: Sequence[Event]) -> bytes:
    """Return the bytes of a case file of these events."""
    return HEADER.encode() + b"".join(write(event) for event in events)


def sealed_anew(events: Sequence[Event]) -> tuple[Event, ...]:
    """Number events, chain them and seal them, as whoever has the file can."""
    found: list[Event] = []
    for n, event in enumerate(events, 1):
        previous = found[-1].digest if found else NO_PREVIOUS
        found.append(seal(n, event.at, event.kind, previous, event.body, event.by))
    return tuple(found)


def rewritten(events: Sequence[Event]) -> Iterator[tuple[str, tuple[Event, ...]]]:
    """Return other histories made of a case: what was done to which event, and events, not sealed anew."""
    for place, event in enumerate(events):
        name, rest = f"event {event.n}, {event.kind}", list(events)
        if place:
            yield f"left out: {name}", (*rest[:place], *rest[place + 1 :])
            yield f"given twice: {name}", (*rest[:place], event, *rest[place:])
            yield (
                f"moved before its former: {name}",
                (*rest[: place - 1], event, rest[place - 1], *rest[place + 1 :]),
            )
            yield f"all from here cut: {name}", tuple(rest[:place])
        for what, other in _altered(event):
            yield f"{what}: {name}", (*rest[:place], other, *rest[place + 1 :])
        note = seal(event.n + 1, event.at, "note", event.digest, {"text": "seen by nobody"}, "Ben")
        yield f"something put in after: {name}", (*rest[: place + 1], note, *rest[place + 1 :])


def _altered(event: Event) -> Iterator[tuple[str, Event]]:
    """Return an event with its time, its name or one value of its body changed."""
    yield "another hour", _with(event, at=event.at.replace("T09", "T08"))
    yield "another year", _with(event, at=event.at.replace("2024", "2022"))
    yield "another name", _with(event, by="Ben")
    yield "no name", _with(event, by="")
    for path, value in _values(event.body):
        other = _other(value)
        if other is not None:
            body = deepcopy(dict(event.body))
            _put(body, path, other)
            yield f"another {path[0]}", _with(event, body=body)


def _with(event: Event, **changed: Any) -> Event:
    given = {name: getattr(event, name) for name in ("n", "at", "kind", "previous", "body", "digest", "by")}
    return Event(**{**given, **changed})


def _values(body: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Return some values of a body with where they stand: the first of each key on top."""
    for key, value in body.items():
        inner, at_path = value, (*path, key)
        while isinstance(inner, dict | list) and inner:
            step = next(iter(inner)) if isinstance(inner, dict) else 0
            at_path, inner = (*at_path, step), inner[step]
        if not isinstance(inner, dict | list):
            yield at_path, inner


def _other(value: Any) -> Any:
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return value + 1 if value >= 1 else value / 2
    swaps = {
        "whole": "cracked",
        "holds": "leaks",
        "valve-leaks": "hose-cracked",
        "hose-cracked": "valve-leaks",
    }
    swaps |= {"P0455": "P0442", "-10 kPa": "-60 kPa", "confirmed": "not-confirmed", "evap": "catalyst"}
    return swaps.get(value) if isinstance(value, str) else None


def _put(body: Any, path: Sequence[Any], value: Any) -> None:
    for step in path[:-1]:
        body = body[step]
    body[path[-1]] = value
