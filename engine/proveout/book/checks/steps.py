"""Checks of steps: nothing in them harms a part or a person, and what they do is declared."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.checks.sentences import undenied
from proveout.book.draft import Draft
from proveout.model.entries import Cause, Inspection
from proveout.model.problem import Place, Problem
from proveout.text.node import Listing, Scalar
from proveout.text.node import Mapping as Node

#: A figure that an act can drive too high, in a unit that only one quantity has.
_FIGURE = re.compile(r"(?<![\w.])(\d[\d,]*(?:\.\d+)?) (kPa|psi|inHg|inH2O|rpm|degC)(?!\w)")
_DENIED = re.compile(r"\b(never|not|don't|no more than|above|over|stop at)\b", re.IGNORECASE)
_UNPLUGS = re.compile(
    r"\b(unplug|pull (?:the|its|one) (?:plug|connector)|plug off|disconnect)\b", re.IGNORECASE
)
_NOT_SO = re.compile(r"\b(never|not|don't|without|before)\b", re.IGNORECASE)
_IN_GEAR = re.compile(
    r"\b(in (?:first|second|third|top|a|any) gear|(?:gear|drive|reverse) engaged|in gear"
    r"|(?:engage|select|shift into|put it (?:in|into)) (?:a gear|first|second|drive|reverse|gear))\b",
    re.IGNORECASE,
)


def above_damage_limit(draft: Draft) -> Iterator[Problem]:
    """Complain of a figure in a step or caution that is above what the inspection's damage limit allows."""
    texts = draft.words.cautions
    for inspection in draft.inspections.values():
        most: dict[str, float] = {}
        for figure, unit in _figures(inspection.damage_limit):
            most[unit] = max(most.get(unit, 0.0), figure)
        if not most:
            continue
        cautions = [(texts[name].text, inspection.place) for name in inspection.cautions if name in texts]
        for is_step, (text, place) in [
            *((True, step) for step in steps_of(draft, inspection)),
            *((False, caution) for caution in cautions),
        ]:
            for figure, unit in _figures(text):
                if figure > most.get(unit, figure) and not (is_step and _DENIED.search(text)):
                    saw = f"{inspection.id}: {figure:g} {unit}, above its damage limit"
                    expected = f"at most {most[unit]:g} {unit}"
                    yield Problem(place, "above-damage-limit", saw, expected, "lower one, or raise the other")


def in_gear_on_stands(draft: Draft) -> Iterator[Problem]:
    """Complain of steps that engage a gear where the engine turns on a vehicle that stands raised."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or state.vehicle in ("", "on-wheels") or state.engine not in ("cranking", "running"):
            continue
        for step, place in steps_of(draft, inspection):
            found = _IN_GEAR.search(step)
            if found and not _DENIED.search(step):
                saw = f"{inspection.id}: '{found[0]}' with the engine {state.engine} on stands"
                mend = "do it in neutral or park, or on the road"
                yield Problem(place, "in-gear-on-stands", saw, "neutral or park", mend)


def unplugs_undeclared(draft: Draft) -> Iterator[Problem]:
    """Complain of steps that unplug something where the state declares nothing unplugged."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or state.all_of("unplugged") or state.stays:
            continue
        for step, place in steps_of(draft, inspection):
            found = undenied(_UNPLUGS, step, _NOT_SO)
            if found:
                saw = f"{inspection.id}: '{found}', but nothing is said to be unplugged"
                mend = "add 'unplugged: [...]' and 'put_back: true' to its 'state'"
                yield Problem(place, "unplugged-undeclared", saw, "a state that says so", mend)


def steps_of(draft: Draft, inspection: Inspection) -> Iterator[tuple[str, Place]]:
    """Return the steps of an inspection as written, each with its place."""
    yield from _texts(draft.raw.of("inspections")[inspection.id].node.get("steps"))


def notes_of(draft: Draft, cause: Cause) -> Iterator[tuple[str, Place]]:
    """Return the notes of a cause's remedy as written, each with its place."""
    remedy = draft.raw.of("causes")[cause.id].node.get("remedy")
    yield from _texts(remedy.get("notes") if isinstance(remedy, Node) else None)


def _texts(listing: object) -> Iterator[tuple[str, Place]]:
    """Return the texts of a list, each with its place."""
    items = listing.items if isinstance(listing, Listing) else ()
    return ((item.text, item.place) for item in items if isinstance(item, Scalar))


def _figures(text: str) -> Iterator[tuple[float, str]]:
    """Return the figures of a text with their units."""
    return ((float(found[1].replace(",", "")), found[2]) for found in _FIGURE.finditer(text))


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "above-damage-limit": Page(
        "What a step or a caution allows must not be above the figure at which the part is harmed: whoever "
        "reads only one of them breaks it.",
        "damage_limit: At most 3 kPa., steps: [Raise to 7 kPa.]",
        "damage_limit: At most 3 kPa., steps: [Raise to 2.5 kPa.]",
    ),
    "in-gear-on-stands": Page(
        "With the engine turning and a gear engaged the vehicle drives off its stands.",
        "{engine: running, vehicle: on-stands}, steps: [Put it into first and let it idle.]",
        "{engine: driven}, steps: [Drive in first.]",
    ),
    "unplugged-undeclared": Page(
        "What the steps unplug and the state does not name is not said to be plugged in again, and its codes "
        "are not cleared: the next fault of this vehicle.",
        "state: {engine: running}, steps: [Unplug the valve.]",
        "state: {engine: running, unplugged: [the valve], put_back: true}",
    ),
}
