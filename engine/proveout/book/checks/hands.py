"""The check that no hand is sent to an engine that runs, in any text of inspections and repairs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.checks.sentences import SENTENCE, STARTS
from proveout.book.checks.steps import notes_of, steps_of
from proveout.book.draft import Draft
from proveout.model.entries import Cause, Inspection
from proveout.model.problem import Place, Problem

#: Where nothing turns that the engine drives, if that is all that is opened.
_AWAY = frozenset({"dash", "seats", "boot", "tank", "rear-floor", "filler"})
_TURNING = ("running", "cranking")
#: What has the engine stand still.
_STILL = re.compile(
    r"\b(?:engine|key) (?:off|out|still|stopped)\b|\b(?:switch|turn)(?:es|s)? (?:it |the engine )?off\b"
    r"|\bstone-cold\b|\bbefore (?:you |the |a |any |its )?(?:start|crank)(?:s|ing)?\b"
    r"|\bstop(?:s|ped)? (?:it|the engine)\b|^stop\b|\bbefore it (?:starts|is started|runs)\b"
    r"|\bfuse out\b",
    re.IGNORECASE,
)
#: Work of a hand: it moves a thing of the engine, feels it or lies on it.
_HAND = re.compile(
    r"(?<!may )(?<!can )\b(?:(?:wiggle|rock|tap|squeeze|tug|pinch) (?!that\b|it is\b|at\b)"
    r"|(?:mov(?:e|ing)|shake|bend|press|push|pull|jiggle|unplug)"
    r"(?: and (?:tilt|rock|bend|turn|pull))? (?:lightly |gently |slowly |on )?"
    r"(?:each|the|its|both|all|every)\b"
    r"|(?:move|shake|bend|unplug) it\b|hold the (?:wires?|plug|hose|lead|harness)\b)"
    r"(?! (?:car|key|pedal|wheel|brake|clutch|throttle|button|idle|figure|needle|lever|selector"
    r"|pump's fuse)\b)"
    r"|(?<!may )\bfeel (?:(?:along|round|at|for suction at) )?"
    r"(?:it\b|(?:the|its|each|both) (?!idle|pull|shake|engine|speed|air|fan))"
    r"|\b(?:a|the|your|two) (?:gloved )?(?:hand|finger(?:s|tips?)?|thumb|palm) (?:at|on|over)\b",
    re.IGNORECASE,
)
#: What keeps the hand away: said with the work, or once for all that an inspection asks for.
_KEPT_OFF = re.compile(r"\bstick\b|\bhands? (?:clear|away|off)\b", re.IGNORECASE)
_DENIED = re.compile(r"\b(?:never|nobody|not|don't)\b", re.IGNORECASE)
_CLEAR = re.compile(
    r"\b(?:clear of|away from|outside|no hand (?:near|at)) (?:the |a )?(?:turning )?(?:belt|fan)s?\b"
    r"|\bbelts?,? (?:(?:and|or) )?fans?(?:,? (?:and|or) (?:coils?|exhaust))? (?:is|are) well away\b",
    re.IGNORECASE,
)


def hand_at_running_engine(draft: Draft) -> Iterator[Problem]:
    """Complain of a hand that is sent to an engine which runs, in any text of an inspection or a repair."""
    for inspection in draft.inspections.values():
        if not _away(draft, inspection.access):
            yield from _first(inspection.id, _at_inspection(draft, inspection))
    for cause in draft.causes.values():
        if not _away(draft, cause.remedy.access):
            yield from _first(cause.id, _at_repair(draft, cause))


def _away(draft: Draft, access: Iterable[str]) -> bool:
    """Say whether all that is opened lies away from the engine."""
    zones = {key: place.zone for place in draft.words.places.values() for key in place.access}
    opened = [zones.get(key, "") for key in access]
    return bool(opened) and _AWAY.issuperset(opened)


def _first(name: str, found: Iterator[tuple[str, Place]]) -> Iterator[Problem]:
    """Return the complaint of the first hand that was found, if any."""
    for words, place in found:
        saw = f"{name}: '{words}' while the engine turns"
        mend = "let it stop first, or say 'with a dry stick' or 'clear of belt and fan'"
        yield Problem(place, "hand-at-running-engine", saw, "hands off what turns and burns", mend)
        return


def _at_inspection(draft: Draft, inspection: Inspection) -> Iterator[tuple[str, Place]]:
    """Return where an inspection sends a hand to a running engine, unless it says what keeps it clear."""
    steps = list(steps_of(draft, inspection))
    limit = inspection.damage_limit or ""
    if _CLEAR.search(" ".join((limit, *(text for text, _ in steps)))):
        return
    turns = inspection.state is not None and inspection.state.engine in _TURNING
    yield from _hands(steps, turns and not any(STARTS.search(text) for text, _ in steps))
    for text in (*inspection.false_readings, limit, inspection.leads or ""):
        yield from _hands([(text, inspection.place)], turns)
    for result in inspection.results:
        yield from _hands([(result.means, inspection.place)], turning=False)


def _at_repair(draft: Draft, cause: Cause) -> Iterator[tuple[str, Place]]:
    """Return where a repair or its proof sends a hand to a running engine."""
    for text, place in (*notes_of(draft, cause), *((text, cause.place) for text in cause.after_repair)):
        if not _CLEAR.search(text):
            yield from _hands([(text, place)], turning=False)


def _hands(told: Iterable[tuple[str, Place]], turning: bool) -> Iterator[tuple[str, Place]]:
    """Return the work of hands in texts that are told one after the other, where the engine turns."""
    for text, place in told:
        for sentence in SENTENCE.split(text):
            if _DENIED.search(sentence):
                continue
            found = _HAND.search(sentence)
            begins, stands = list(STARTS.finditer(sentence)), list(_STILL.finditer(sentence))
            at_work = turning or (found and any(_turns_by(start, found) for start in begins))
            if found and at_work and not stands and not _KEPT_OFF.search(text):
                yield found[0].strip(), place
            if begins or stands:
                turning = max((m.start(), m in begins) for m in (*begins, *stands))[1]


def _turns_by(start: re.Match[str], work: re.Match[str]) -> bool:
    """Say whether the engine turns by the time of some work; ``start`` told after the work comes after it."""
    return start.start() < work.start() or start[0].lower() != "start"


#: What there is to say about the check.
PAGES: Mapping[str, Page] = {
    "hand-at-running-engine": Page(
        "A caution on moving parts does not say where the hand goes that a text sends to a part; belt and "
        "fan are a hand's breadth from many. Steps, false readings, results, notes and proofs are read.",
        "after_repair: [Move it at idle; the engine must not stumble.]",
        "after_repair: ['Move it at idle with a dry stick, clear of belt, fan and coils; no stumble.']",
    ),
}
