"""What the events of a case say together: one intake document, as if it had been written today.

The fold, in the order of the events:

- the intake stands first; its short form ``results`` becomes readings, so that later ones overrule it;
- a reading is added at the end of ``readings``;
- a note with ``adds`` brings in what became known later: lists grow, mappings and single values are updated;
- of a verification the inspections done again come after the readings before: one that fails counts;
- an amendment does the same, after taking out what it drops: items of lists, keys of mappings;
- a repair adds its component to ``replaced`` and drops the earlier readings of the inspections that it
  ``voids``, since they were of the old part;
- a mending is added to ``mended``; a watch says what was seen since the last one;
- a withdrawal makes as if the reading, note, amendment, mending or watch with that number had never been.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from typing import Any

from proveout.model.problem import BadInputError, Place, Problem
from proveout.record.bodies import (
    Amendment,
    Mending,
    Note,
    Reading,
    Repair,
    Verification,
    Watch,
    Withdrawal,
    bodies,
    body_of,
)
from proveout.record.event import Event
from proveout.text.schema import fits

#: Kinds of event that can be withdrawn.
WITHDRAWABLE = ("reading", "note", "amendment", "mending", "watch")

#: For a list that excludes another: what is added to one leaves the other.
_OPPOSITES = {"symptoms": "symptoms_absent", "symptoms_absent": "symptoms"}


def merged(events: Sequence[Event], upto: int | None = None) -> dict[str, Any]:
    """Return the intake document that the events amount to; its keys are those of ``intake.schema.json``.

    Args:
        events: of one case, in order; the first is its intake.
        upto: number of the last event to count; all where left out.

    Raises:
        BadInputError: together they say more than one intake document can hold.
    """
    counted = [event for event in events if upto is None or event.n <= upto]
    gone = withdrawn(counted)
    document: dict[str, Any] = deepcopy(dict(counted[0].body))
    document["readings"] = _first_readings(document)
    for event in counted[1:]:
        if event.n not in gone:
            _take(document, event)
    if not document["readings"]:
        del document["readings"]
    if len(counted) > 1 and not fits(document, "intake", "facts"):
        saw = "events that together say more of one case than can be used"
        expected = "lists no longer than intake.schema.json allows"
        raise BadInputError(
            Problem(Place(counted[0].place.file), "case-size", saw, expected, "open a new case")
        )
    return document


def withdrawn(events: Sequence[Event]) -> frozenset[int]:
    """Return the numbers of the events that were withdrawn."""
    kinds = {event.n: event.kind for event in events}
    named = (body.event for _, body in bodies(events, Withdrawal))
    return frozenset(n for n in named if kinds.get(n) in WITHDRAWABLE)


def withdrawal(events: Sequence[Event], n: int, reason: str = "") -> Withdrawal:
    """Return a withdrawal of event ``n``.

    Raises:
        BadInputError: there is no such event, it cannot be withdrawn, or it was already.
    """
    found = next((event for event in events if event.n == n), None)
    open_ones = [
        event.n for event in events if event.kind in WITHDRAWABLE and event.n not in withdrawn(events)
    ]
    expected = (
        f"one of {', '.join(map(str, open_ones))}"
        if open_ones
        else "a reading, note or amendment, of which there is none"
    )
    place = found.place if found else Place(events[-1].place.file if events else "")
    if found is None:
        raise BadInputError(Problem(place, "no-such-event", f"no event {n}", expected))
    if found.kind not in WITHDRAWABLE:
        raise BadInputError(
            Problem(place, "not-withdrawable", f"event {n}, which is a {found.kind}", expected)
        )
    if n in withdrawn(events):
        raise BadInputError(Problem(place, "withdrawn-before", f"event {n}, withdrawn before", expected))
    return Withdrawal(event=n, reason=reason)


def _first_readings(document: dict[str, Any]) -> list[Any]:
    """Take the intake's readings in both forms out of it."""
    short = document.pop("results", {})
    return [
        *document.get("readings", ()),
        *({"inspection": inspection, "result": result} for inspection, result in short.items()),
    ]


def _take(document: dict[str, Any], event: Event) -> None:
    """Let one event change the document."""
    if event.kind == Reading.kind:
        document["readings"].append(deepcopy(dict(event.body)))
    elif event.kind in (Note.kind, Amendment.kind):
        change = body_of(event, Amendment)
        _drop(document, change.drops)
        _add(document, deepcopy(dict(change.adds)))
    elif event.kind == Verification.kind:
        document["readings"] += deepcopy(list(body_of(event, Verification).repeated))
    elif event.kind == Mending.kind:
        document.setdefault("mended", []).append({"cause": body_of(event, Mending).cause})
    elif event.kind == Watch.kind and document.get("mended"):
        document["mended"][-1]["since"] = body_of(event, Watch).since
    elif event.kind == Repair.kind:
        repair = body_of(event, Repair)
        document["readings"] = [
            item for item in document["readings"] if item.get("inspection") not in repair.voids
        ]
        if repair.component:
            _add(document, {"replaced": [repair.component]})


def _drop(document: dict[str, Any], drops: Mapping[str, Sequence[Any]]) -> None:
    """Take items out of lists and keys out of mappings; what becomes empty goes too."""
    for key, items in drops.items():
        old = document.get(key)
        if isinstance(old, list):
            gone = {_code(item) for item in items} if key == "codes" else items
            document[key] = [item for item in old if (_code(item) if key == "codes" else item) not in gone]
        elif isinstance(old, dict):
            document[key] = {name: value for name, value in old.items() if name not in items}
        if key in document and not document[key] and key != "readings":
            del document[key]


def _add(document: dict[str, Any], adds: dict[str, Any]) -> None:
    """Merge a part of an intake document into the document."""
    adds["readings"] = _first_readings(adds)
    for key, value in adds.items():
        old = document.get(key)
        if isinstance(value, list):
            document[key] = _joined(key, old if isinstance(old, list) else [], value)
            opposite = _OPPOSITES.get(key)
            if opposite in document:
                document[opposite] = [item for item in document[opposite] if item not in value]
        elif isinstance(value, dict) and isinstance(old, dict):
            document[key] = _merged(old, value)
        else:
            document[key] = value


def _merged(old: Mapping[str, Any], new: Mapping[str, Any]) -> dict[str, Any]:
    """Merge two mappings: lists in them grow, and what a vehicle has it does not lack."""
    found = {**old}
    for key, value in new.items():
        before = found.get(key)
        if isinstance(value, list) and isinstance(before, list):
            found[key] = [*before, *(item for item in value if item not in before)]
        elif isinstance(value, dict) and isinstance(before, dict):
            found[key] = {**before, **value}
        else:
            found[key] = value
    for key, other in (("has", "lacks"), ("lacks", "has")):
        if key in new and other in old:
            found[other] = [item for item in old[other] if item not in new[key]]
    return {key: value for key, value in found.items() if value != []}


def _joined(key: str, old: list[Any], new: list[Any]) -> list[Any]:
    """Join two lists: a code anew takes the place of its older status, a reading anew comes after it."""
    if key == "readings":
        return [*old, *new]
    if key == "codes":
        return list({_code(item): item for item in [*old, *new]}.values())
    return [*old, *(item for item in new if item not in old)]


def _code(item: Any) -> str:
    return str(item.get("code") if isinstance(item, Mapping) else item)
