"""Checks of cautions against what is told: none that is called for is missing, no word forbids one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.checks.sentences import STARTS, undenied
from proveout.book.checks.steps import notes_of, steps_of
from proveout.book.draft import Draft
from proveout.book.state import alternatives
from proveout.model.problem import Place, Problem
from proveout.model.state import State, follows

_RAISED = frozenset({"vehicle on-stands"})
_DENIED = re.compile(r"\b(never|not|don't|no|nobody|nothing|without|leave)\b", re.IGNORECASE)
#: Work beneath a vehicle; a look or a hand beneath a hose is another thing.
_BENEATH = re.compile(
    r"\b(?:from|go|goes|lie|lies|work|works|working) (?:beneath|underneath)\b|\bon (?:axle )?stands\b"
    r"|\b(?:go|lie|lies|crawl|get|work|works) under (?:the|a|your) (?:car|vehicle)\b",
    re.IGNORECASE,
)
#: A vehicle that is let down again.
_DOWN = re.compile(
    r"\bon its wheels\b|\blet it down\b|\blower(?:ed)? (?:it|the vehicle)\b|\b(?:vehicle|lowered) down\b"
    r"|\bstands away\b|\b(?:off|from) (?:its|the) stands\b",
    re.IGNORECASE,
)
_DRIVEN = re.compile(r"\bdriv(?:e|ing)\b", re.IGNORECASE)
#: What makes heat or sparks.
_HEAT = re.compile(
    r"\b(?:hair ?dryer|heat gun|hot air|soldering iron|vacuum cleaner|grinder|blow ?lamp|gas flame"
    r"|power drill)s?\b",
    re.IGNORECASE,
)


def beneath_unwarned(draft: Draft) -> Iterator[Problem]:
    """Complain of words for work beneath a vehicle where no caution tells how it is raised."""
    due = cautions_due(draft, _RAISED)
    if not due:
        return
    for name, cautions, _, told in _work(draft):
        if due & cautions:
            continue
        found = next(((f, place) for text, place in told if (f := undenied(_BENEATH, text, _DENIED))), None)
        if found:
            saw = f"{name}: '{found[0]}', and no caution tells how the vehicle is raised"
            mend = f"add {sorted(due)[0]} to its 'cautions', or 'vehicle: on-stands' to its 'state'"
            yield Problem(found[1], "beneath-unwarned", saw, "a caution of stands", mend)


def started_raised(draft: Draft) -> Iterator[Problem]:
    """Complain of an engine that is started after work at a place which may be reached from beneath."""
    due = cautions_due(draft, _RAISED)
    for name, cautions, state, told in _work(draft):
        cause = draft.causes.get(name)
        texts = (*cause.remedy.notes, *cause.after_repair) if cause else tuple(t or "" for t, _ in told)
        proved = cause is not None and any(STARTS.search(t) or _DRIVEN.search(t) for t in cause.after_repair)
        turns = state is not None and state.engine in ("running", "cranking") and not state.vehicle
        if due & cautions and (proved or turns) and not _DOWN.search(" ".join(texts)):
            saw = f"{name}: the engine is started, and the vehicle may still stand raised"
            mend = "say 'down on its wheels' before the start, or 'vehicle: on-stands' in its 'state'"
            yield Problem(told[0][1], "started-raised", saw, "what it stands on by then", mend)


def heat_at_vapour(draft: Draft) -> Iterator[Problem]:
    """Complain of heat or sparks that are told of where the state says that fuel vapour can come out."""
    for name, _, state, told in _work(draft):
        if state is None or state.vapour != "fuel":
            continue
        for text, place in told:
            found = undenied(_HEAT, text, _DENIED)
            if found:
                saw = f"{name}: '{found}' where fuel or its vapour can come out"
                mend = "do without it, or leave 'vapour' out where nothing of the fuel system is opened"
                yield Problem(place, "heat-at-vapour", saw, "neither heat nor sparks", mend)
                break


def cautions_due(draft: Draft, words: frozenset[str]) -> frozenset[str]:
    """Return the cautions that follow from a state of some words."""
    cautions = draft.raw.of("cautions").items()
    return frozenset(name for name, entry in cautions if follows(alternatives(entry.node), words))


def _work(draft: Draft) -> Iterator[tuple[str, set[str], State | None, list[tuple[str, Place]]]]:
    """Return all work by hand: its id, its cautions with those of its places, its state, what is told."""
    places = draft.words.access
    for inspection in draft.inspections.values():
        opened = {caution for key in inspection.access if key in places for caution in places[key].cautions}
        told = [(inspection.damage_limit, inspection.place), *steps_of(draft, inspection)]
        yield inspection.id, opened | set(inspection.cautions), inspection.state, told
    for cause in draft.causes.values():
        yield cause.id, set(cause.remedy.cautions), cause.remedy.state, list(notes_of(draft, cause))


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "beneath-unwarned": Page(
        "A vehicle that falls off a jack kills. Whoever is sent beneath is told how it is raised, before "
        "anything else is said.",
        "remedy: {notes: [The rear one is reached from beneath.]}",
        "remedy: {cautions: [on-stands], notes: [The rear one is reached from beneath.]}",
    ),
    "started-raised": Page(
        "Where a part may be reached from beneath, nobody knows what the vehicle stands on when the engine "
        "is started: the caution on running on stands follows from a state alone.",
        "access: [under-vehicle], state: {engine: running}, steps: [Unplug it, start.]",
        "access: [under-vehicle], state: {engine: running}, steps: ['Unplug it; down on its wheels, start.']",
    ),
    "heat-at-vapour": Page(
        "Its caution forbids what its step asks for: the motor of a dryer or drill sparks and lights fuel "
        "vapour.",
        "state: {vapour: fuel}, steps: [Warm it with a hair dryer.]",
        "state: {vapour: fuel}, steps: [Warm it with a warm wet cloth.]",
    ),
}
