"""A case in one line, read fast: for lists over many thousands of case files.

Advices are the bulk of a case file; of them only the leading cause is taken, by its place in the text.
Nothing is verified here: ``casefile.verify`` does that, case by case.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from proveout.model.problem import BadInputError, Place, Problem
from proveout.record.closing import CONFIRMED
from proveout.record.event import Event, parse
from proveout.record.state import merged
from proveout.record.verify import refuse_other_files, split

_KIND = re.compile(rb"^kind: ([a-z]+)$", re.MULTILINE)
_N_AT = re.compile(rb'^n: ([0-9]+)\nat: "([^"]*)"$', re.MULTILINE)
_DIGEST = re.compile(rb'^digest: "([0-9a-f]{64})"$', re.MULTILINE)
_LEADING = re.compile(rb"^  causes:\n    - id: ([a-z0-9-]+)$", re.MULTILINE)
_READ = frozenset({"intake", "withdrawal", "purchase", "repair", "close", "note", "amendment"})


@dataclass(frozen=True, slots=True)
class Summary:
    """One case in short.

    Attributes:
        title: its name, or "".
        vehicle: what is known of the vehicle, in words.
        codes: codes read.
        opened, last: times of the first and the last event.
        events: their number.
        head: digest of the last one.
        closed, outcome: whether and how it ended.
        cause: what it was; while open, what was repaired or bought for last, or else what leads.
        parts_cost: spent on parts.
        wrong_cost: spent on parts for causes that a closed case turned out not to have.
    """

    title: str
    vehicle: str
    codes: tuple[str, ...]
    opened: str
    last: str
    events: int
    head: str
    closed: bool
    outcome: str
    cause: str
    parts_cost: float
    wrong_cost: float


def summarise(data: bytes, name: str) -> Summary:
    """Give the summary of a case file.

    Args:
        data: the whole file.
        name: its name, for places.

    Raises:
        BadInputError: it is no case file, or an event that counts cannot be read.
    """
    refuse_other_files(data, name)
    chunks, _ = split(data)
    kinds = [found[1].decode() if (found := _KIND.search(chunk.data)) else "" for chunk in chunks]
    events = [
        parse(chunk.data.decode("utf-8", "replace"), Place(name, chunk.line, 1))
        for chunk, kind in zip(chunks, kinds, strict=True)
        if kind in _READ
    ]
    if not events or events[0].kind != "intake":
        raise BadInputError(
            Problem(Place(name, 1, 1), "no-intake", "no intake that can be read", "an intake")
        )
    last = _N_AT.search(chunks[-1].data)
    head = _DIGEST.search(chunks[-1].data)
    advice = next(
        (c.data for c, kind in zip(chunks[::-1], kinds[::-1], strict=True) if kind == "advice"), b""
    )
    leading = _LEADING.search(advice)
    return _summary(
        events,
        closed=_is_closed(kinds),
        last=last[2].decode() if last else "",
        count=len(chunks),
        head=head[1].decode() if head else "",
        leading=leading[1].decode() if leading else "",
    )


def _is_closed(kinds: Sequence[str]) -> bool:
    """Say whether nothing but notes came after the last close event, as ``closing.is_closed`` does."""
    return next((kind for kind in reversed(kinds) if kind != "note"), "") == "close"


def _summary(
    events: Sequence[Event], *, closed: bool, last: str, count: int, head: str, leading: str
) -> Summary:
    document = merged(events)
    close = next((event.body for event in reversed(events) if event.kind == "close"), {}) if closed else {}
    named = [str(event.body.get("cause", "")) for event in events if event.kind in ("purchase", "repair")]
    purchases = [event.body for event in events if event.kind == "purchase"]
    cause = str(close.get("cause", "")) if closed else (named[-1] if named else leading)
    return Summary(
        title=str(document.get("title", "")),
        vehicle=_vehicle(document.get("vehicle", {})),
        codes=tuple(
            str(item["code"] if isinstance(item, Mapping) else item) for item in document.get("codes", ())
        ),
        opened=events[0].at,
        last=last,
        events=count,
        head=head,
        closed=closed,
        outcome=str(close.get("outcome", "")),
        cause=cause,
        parts_cost=sum(_cost(body) for body in purchases),
        wrong_cost=_wrong_cost(purchases, close),
    )


def _wrong_cost(purchases: Sequence[Mapping[str, Any]], close: Mapping[str, Any]) -> float:
    """Add up what was spent on other causes than the confirmed one; all of it where none was confirmed."""
    if not close:
        return 0.0
    right = close.get("cause") if close.get("outcome") == CONFIRMED else None
    return sum(_cost(body) for body in purchases if right is None or body.get("cause") != right)


def _cost(body: Mapping[str, Any]) -> float:
    cost = body.get("cost", 0)
    return float(cost) if isinstance(cost, int | float) else 0.0


def _vehicle(vehicle: Mapping[str, Any]) -> str:
    """Say what is known of a vehicle in one line."""
    units = {"age_years": "{} y", "first_year": "from {}", "mileage_km": "{} km"}
    return ", ".join(units.get(key, "{}").format(value) for key, value in vehicle.items())
