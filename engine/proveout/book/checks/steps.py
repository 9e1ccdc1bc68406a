"""Checks of steps: what they lead to is among the results, and nothing in them harms a part or a person.

What words can be taken for certain is little. A step that names a result by its id, and a step that says what
to do if something is open, wet or torn, are understood; other ways of telling a find stay unchecked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.atom import CANNOT_TELL
from proveout.model.entries import Inspection
from proveout.model.problem import Place, Problem
from proveout.text.node import Listing, Scalar

#: A result that a step names by its id; a word without hyphen may be common, so it needs "result is".
_NAMED = re.compile(r"\bresult is ([a-z]+(?:-[a-z]+)*)\b|\b(?:record|answer|enter) ([a-z]+(?:-[a-z]+)+)\b")
#: What is certainly a find wherever it is seen.
_FAULTS = (
    "open", "shorted", "blown", "loose", "wet", "cracked", "split", "burnt", "corroded", "torn", "missing",
    "leaking", "blocked", "melted",
)  # fmt: skip
_IF_FAULT = re.compile(
    r"\bif (?:it|they|one|any|either|that|this|the [a-z' -]{2,30}?) (?:is|are|reads?|looks?|feels?) "
    rf"(?:still |also |all |too |quite |very )?({'|'.join(_FAULTS)})\b",
    re.IGNORECASE,
)
#: A figure that an act can drive too high, in a unit that only one quantity has.
_FIGURE = re.compile(r"(?<![\w.])(\d[\d,]*(?:\.\d+)?) (kPa|psi|inHg|inH2O|rpm|degC)(?!\w)")
_DENIED = re.compile(r"\b(never|not|don't|no more than|above|over|stop at)\b", re.IGNORECASE)
_UNPLUGS = re.compile(
    r"\b(unplug|pull (?:the|its|one) (?:plug|connector)|plug off|disconnect)\b", re.IGNORECASE
)
_NOT_SO = re.compile(r"\b(never|not|don't|without|before)\b", re.IGNORECASE)
_SENTENCE = re.compile(r"(?<=[.;:]) ")
_IN_GEAR = re.compile(
    r"\b(in (?:first|second|third|top|a|any) gear|(?:gear|drive|reverse) engaged|in gear"
    r"|(?:engage|select|shift into|put it (?:in|into)) (?:a gear|first|second|drive|reverse|gear))\b",
    re.IGNORECASE,
)


def missing_result(draft: Draft) -> Iterator[Problem]:
    """Complain of a step that leads to a find which no result of its inspection stands for."""
    for inspection in draft.inspections.values():
        known = {result.id for result in inspection.results} | {
            CANNOT_TELL,
            "cannot-reach",
            "no-tool",
            "not-today",
        }
        said = " ".join(f"{result.id} {result.means}" for result in inspection.results).lower()
        for step, place in _steps(draft, inspection):
            named = _NAMED.search(step)
            found = (named[1] or named[2]) if named else ""
            fault = _IF_FAULT.search(step)
            if found and found not in known:
                saw = f"{inspection.id}: '{found}', which is none of its results"
            elif fault and fault[1].lower() not in said:
                saw = f"{inspection.id}: '{fault[0]}', and none of its results says so"
            else:
                continue
            mend = "add the result, or name the one that is meant"
            yield Problem(place, "missing-result", saw, f"one of {', '.join(sorted(known))}", mend)


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
            *((True, step) for step in _steps(draft, inspection)),
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
        for step, place in _steps(draft, inspection):
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
        for step, place in _steps(draft, inspection):
            found = next((f for part in _SENTENCE.split(step) if (f := _unplugs(part))), "")
            if found:
                saw = f"{inspection.id}: '{found}', but nothing is said to be unplugged"
                mend = "add 'unplugged: [...]' and 'put_back: true' to its 'state'"
                yield Problem(place, "unplugged-undeclared", saw, "a state that says so", mend)


def _unplugs(sentence: str) -> str:
    """Return the words of a sentence that unplug something, or nothing."""
    found = _UNPLUGS.search(sentence)
    return found[0] if found and not _NOT_SO.search(sentence) else ""


def _steps(draft: Draft, inspection: Inspection) -> Iterator[tuple[str, Place]]:
    """Return the steps of an inspection as written, each with its place."""
    steps = draft.raw.of("inspections")[inspection.id].node.get("steps")
    for step in steps.items if isinstance(steps, Listing) else ():
        if isinstance(step, Scalar):
            yield step.text, step.place


def _figures(text: str) -> Iterator[tuple[float, str]]:
    """Return the figures of a text with their units."""
    return ((float(found[1].replace(",", "")), found[2]) for found in _FIGURE.finditer(text))


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "missing-result": Page(
        "Whoever finds what the steps speak of must be able to record it; otherwise the find is lost, or "
        "recorded as something else.",
        "steps: [Look at the plug. If it is wet, dry it.] with results clean and corroded",
        "a result wet, or one whose meaning says so: {is: abnormal, means: Wet or corroded.}",
    ),
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
