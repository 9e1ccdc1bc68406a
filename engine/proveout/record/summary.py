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
from proveout.record.bodies import Close, Mending, Purchase, Repair, bodies, last_body
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
        currency: what both are in, or "" where nobody said.
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
    currency: str


def summarise(data: bytes, name: str) -> Summary:
    """Return the summary of a case file.

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
    last = last_body(events, Close) if closed else None
    close = last[1] if last else None
    purchases = [body for _, body in bodies(events, Purchase)]
    named = {event.n: body.cause for event, body in bodies(events, Purchase)}
    named |= {event.n: body.cause for event, body in bodies(events, Repair)}
    named |= {event.n: body.cause for event, body in bodies(events, Mending)}
    costs = document.get("costs")
    cause = close.cause if close else (named[max(named)] if named else leading)
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
        outcome=close.outcome if close else "",
        cause=cause,
        parts_cost=sum(body.cost for body in purchases),
        wrong_cost=_wrong_cost(purchases, close),
        currency=str(costs.get("currency", "")) if isinstance(costs, Mapping) else "",
    )


def _wrong_cost(purchases: Sequence[Purchase], close: Close | None) -> float:
    """Add up what was spent on other causes than the confirmed one; all of it where none was confirmed."""
    if close is None:
        return 0.0
    right = close.cause if close.outcome == CONFIRMED else None
    return sum(body.cost for body in purchases if right is None or body.cause != right)


def _vehicle(vehicle: Mapping[str, Any]) -> str:
    """Say what is known of a vehicle in one line."""
    units = {"age_years": "{} y", "first_year": "from {}", "mileage_km": "{} km"}
    return ", ".join(units.get(key, "{}").format(value) for key, value in vehicle.items())
