"""A case in one line, read fast: for lists over many thousands of case files.

Advices are the bulk of a case file; of them only the leading cause is taken, by its place in the text. All
other events are verified, and of the advices their places in the chain; ``casefile.verify`` checks them in
full.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from proveout.model.problem import DamagedRecordError
from proveout.record.closing import CONFIRMED, is_closed
from proveout.record.event import Event
from proveout.record.state import merged
from proveout.record.verify import check, split

_LEADING = re.compile(rb"^  causes:\n    - id: ([a-z0-9-]+)$", re.MULTILINE)


class Summary(Struct, frozen=True):
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
        BadInputError: it is no case file.
        DamagedRecordError: its chain does not hold, or an event that counts is not as it was written.
    """
    found = check(data, name, light=True)
    if found.problems:
        raise DamagedRecordError(*found.problems)
    last_advice = next((event for event in reversed(found.events) if event.kind == "advice"), None)
    leading = None
    if last_advice:
        chunks, _ = split(data)
        leading = _LEADING.search(chunks[last_advice.n - 1].data)
    return _summary(found.events, leading[1].decode() if leading else "")


def _summary(events: Sequence[Event], leading: str) -> Summary:
    document, closed = merged(events), is_closed(events)
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
        last=events[-1].at,
        events=len(events),
        head=events[-1].digest,
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
