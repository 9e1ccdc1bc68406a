"""How a case stood before something was recorded, for telling what that changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from proveout.model.advice import Hypothesis
from proveout.model.atom import RESULT
from proveout.model.case import Sheet
from proveout.record.bodies import Advice, Withdrawal, body_of
from proveout.record.event import Event
from proveout.record.state import WITHDRAWABLE


class Before(Struct, frozen=True):
    """How a case stood before something was recorded: as much as a change is told from.

    Attributes:
        confidence, direct: cause id to its confidence, and to what its direct inspections had shown.
        states, said: inspection id to the states that it had shown, and to how it was given.
        repeated: ids of the inspections that had been made more than once.
    """

    confidence: Mapping[str, float]
    direct: Mapping[str, str]
    states: Mapping[str, tuple[tuple[str, float], ...]]
    said: Mapping[str, str]
    repeated: frozenset[str] = frozenset()


def before_by_sheet(sheet: Sheet, hypotheses: Iterable[Hypothesis]) -> Before:
    """Return how a case stands, for the next change."""
    found = tuple(hypotheses)
    seen = [o for o in sheet.observations if o.observable.kind == RESULT]
    return Before(
        {hypothesis.cause: hypothesis.confidence for hypothesis in found},
        {hypothesis.cause: hypothesis.direct for hypothesis in found},
        {o.observable.key: o.states for o in seen},
        {o.observable.key: o.said for o in seen},
        sheet.repeated,
    )


def before_by_advice(advice: Advice, repeated: Iterable[str]) -> Before:
    """Return how a case stood by the advice that its record holds."""
    seen = [o for o in advice.inputs["observations"] if o["kind"] == RESULT]
    return Before(
        {item.id: item.confidence for item in advice.causes},
        {item.id: item.direct for item in advice.causes},
        {o["key"]: tuple((s["state"], s["weight"]) for s in o["states"]) for o in seen},
        {o["key"]: o["said"] for o in seen},
        frozenset(repeated),
    )


def last_change(events: Sequence[Event]) -> tuple[Event, Before] | None:
    """Return what changed the answer last, with how the case stood before.

    None where the last event is no advice that followed such a change, or none came before it.
    """
    if len(events) < 3 or events[-1].kind != Advice.kind:
        return None
    change = events[-2]
    if change.kind not in (*WITHDRAWABLE, Withdrawal.kind):
        return None
    former = next((event for event in reversed(events[:-2]) if event.kind == Advice.kind), None)
    if former is None or "observations" not in former.body.get("inputs", {}):
        return None
    return change, before_by_advice(body_of(former, Advice), ())
