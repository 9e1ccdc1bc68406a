"""Checks of cautions against what is told: none that is called for is missing, no word forbids one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.checks.sentences import undenied
from proveout.book.checks.steps import notes_of, steps_of
from proveout.book.draft import Draft
from proveout.book.state import alternatives
from proveout.model.problem import Place, Problem
from proveout.model.state import State, follows

_DENIED = re.compile(r"\b(never|not|don't|no|nobody|nothing|without|leave)\b", re.IGNORECASE)
#: Work beneath a vehicle; a look or a hand beneath a hose is another thing.
_BENEATH = re.compile(
    r"\b(?:from|go|goes|lie|lies|work|works|working) (?:beneath|underneath)\b|\bon (?:axle )?stands\b"
    r"|\b(?:go|lie|lies|crawl|get|work|works) under (?:the|a|your) (?:car|vehicle)\b",
    re.IGNORECASE,
)
#: What makes heat or sparks.
_HEAT = re.compile(
    r"\b(?:hair ?dryer|heat gun|hot air|soldering iron|vacuum cleaner|grinder|blow ?lamp|gas flame"
    r"|power drill)s?\b",
    re.IGNORECASE,
)
#: An engine that runs, a hand that is sent to it, and what keeps the hand away or stops the engine first.
_RUNS = re.compile(
    r"\bengine (?:\w+ )?(?:running|idling|idles|runs)\b|\bat (?:\w+ )?idle\b|\b(?:warm|hot) idle\b"
    r"|\bstart(?:ed)? (?:it )?(?:stone-)?cold\b|\bidling\b",
    re.IGNORECASE,
)
_BY_HAND = re.compile(
    r"\b(?:mov(?:e|ed)|wiggle|rock|tap|shake|bend|press)\b(?! the (?:key|pedal|wheel))"
    r"|\bfeel\b(?! the idle)|\b(?:a|the) (?:hand|finger|palm) (?:at|on|to|over)\b",
    re.IGNORECASE,
)
_KEPT_OFF = re.compile(
    r"\bstick\b|\b(?:key|engine) (?:off|out)\b|\bhands? (?:clear|away|off)\b", re.IGNORECASE
)
#: A hand that a step puts on a part; that its engine has stopped first; that it stays clear of what turns.
_LAID_ON = re.compile(
    r"\b(?:a|the|two|your) (?:gloved )?(?:hand|finger(?:s|tips?)?|thumb|palm) (?:at|on|over)\b"
    r"|\bfeel (?:(?:along|round) )?(?:the|its) (?:\w+ )?(?:hose|housing|pump|plug|pipe|valve|solenoid)\b",
    re.IGNORECASE,
)
_STOPPED = re.compile(r"\b(?:engine|key) (?:off|out)\b", re.IGNORECASE)
_CLEAR = re.compile(r"\bclear of (?:the )?(?:belt|fan)s?\b|\baway from belts?\b", re.IGNORECASE)
_TURNING = ("running", "cranking")


def beneath_unwarned(draft: Draft) -> Iterator[Problem]:
    """Complain of words for work beneath a vehicle where no caution tells how it is raised."""
    due = _due(draft, frozenset({"vehicle on-stands"}))
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


def hand_at_running_engine(draft: Draft) -> Iterator[Problem]:
    """Complain of a repair proved by hand beside a running engine, where no state asks for cautions."""
    for cause in draft.causes.values():
        for text in cause.after_repair:
            found = _BY_HAND.search(text)
            if found and _RUNS.search(text) and not _KEPT_OFF.search(text):
                saw = f"{cause.id}: '{found[0]}' while the engine runs"
                mend = "say 'with a dry stick, clear of belt, fan and coils', or let the engine stop first"
                yield Problem(
                    cause.place, "hand-at-running-engine", saw, "hands off what turns and burns", mend
                )
                break


def hand_laid_on_running_engine(draft: Draft) -> Iterator[Problem]:
    """Complain of a hand laid on a part while the engine turns, where no step keeps it clear of the belt."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or state.engine not in _TURNING:
            continue
        told = list(steps_of(draft, inspection))
        if _CLEAR.search(" ".join((inspection.damage_limit or "", *(text for text, _ in told)))):
            continue
        for text, place in told:
            found = _LAID_ON.search(text)
            if found and not _STOPPED.search(text):
                saw = f"{inspection.id}: '{found[0]}' while the engine turns"
                mend = "let it stop first, or say 'with a dry stick, clear of belt and fan'"
                yield Problem(
                    place, "hand-laid-on-running-engine", saw, "hands off what turns and burns", mend
                )
                break


def _due(draft: Draft, words: frozenset[str]) -> frozenset[str]:
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
    "hand-at-running-engine": Page(
        "How a repair is proved has no state of its own, and no caution on belt, fan and coils follows "
        "from it; the words themselves keep the hand away.",
        "after_repair: [Move it at idle; the engine must not stumble.]",
        "after_repair: ['Move it at idle with a dry stick, clear of belt, fan and coils; no stumble.']",
    ),
    "hand-laid-on-running-engine": Page(
        "A caution on moving parts does not say where the hand goes that a step sends to a part; belt and "
        "fan are a hand's breadth from many.",
        "state: {engine: running}, steps: [A hand on the pump's housing feels it hum.]",
        "state: {engine: running}, steps: ['The tip of a dry stick on it, clear of belt and fan.']",
    ),
    "beneath-unwarned": Page(
        "A vehicle that falls off a jack kills. Whoever is sent beneath is told how it is raised, before "
        "anything else is said.",
        "remedy: {notes: [The rear one is reached from beneath.]}",
        "remedy: {cautions: [on-stands], notes: [The rear one is reached from beneath.]}",
    ),
    "heat-at-vapour": Page(
        "Its caution forbids what its step asks for: the motor of a dryer or drill sparks and lights fuel "
        "vapour.",
        "state: {vapour: fuel}, steps: [Warm it with a hair dryer.]",
        "state: {vapour: fuel}, steps: [Warm it with a warm wet cloth.]",
    ),
}
