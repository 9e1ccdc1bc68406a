"""Checks of what is told against what is declared: steps and notes must say what the state says."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.checks.sentences import SENTENCE
from proveout.book.draft import Draft
from proveout.book.entry import RawEntry
from proveout.book.state import alternatives
from proveout.model.problem import Problem
from proveout.model.state import follows
from proveout.text.node import Listing, Scalar

_DENIED = re.compile(r"\b(never|not|don't|nothing)\b", re.IGNORECASE)
#: Remedies that change something on the vehicle by hand.
_BY_HAND = ("replace", "repair", "clean", "tighten", "clear-passage")
#: Steps that let the engine turn, and words that take that back.
_TURNS = re.compile(
    r"\bengine (is )?(running|idling)\b|\b(let|leave) (it idle|the (warm )?engine (run|idle))\b"
    r"|\bstart (the engine|it|outdoors|cold|hot|warm|again|(two|three|five) times|twice)\b"
    r"|\bat (warm )?idle\b"
    r"|\bcrank(s|ed)?\b(?! (sensor|position|shaft|signal))",
    re.IGNORECASE,
)
#: The same in a false reading, which may well speak of engines that nobody starts.
_STARTED = re.compile(
    r"(?<!can )(?<!cold )\bstart (the engine|it|outdoors)\b(?! by)"
    r"|\bthen start\b|\bwarm (it |the engine )?up\b",
    re.IGNORECASE,
)
_NOT_SO = re.compile(r"\b(never|not|don't|before|without|no)\b", re.IGNORECASE)
#: A pin of the terminal's own size, drawn out to feel its grip, is a test of the trade; a meter's tip is not.
_PUSHED = re.compile(
    r"\b(push|press|stick|insert|force)\w*\b[^.,;]*\b(tips?|probes?|leads?|prods?)\b[^.,;]*\b(into|in)\b[^.,;]*"
    r"\bterminal",
    re.IGNORECASE,
)


def pushed_into_terminal(draft: Draft) -> Iterator[Problem]:
    """Refuse a step that pushes a tip into a terminal: it spreads the terminal for ever."""
    for name, entry in draft.raw.of("inspections").items():
        steps = entry.node.get("steps")
        said = [*(steps.items if isinstance(steps, Listing) else ()), entry.node.get("leads")]
        for step in said:
            text = step.text if isinstance(step, Scalar) else ""
            found = _PUSHED.search(text)
            if found and not _DENIED.search(text):
                saw = f"{name}: '{found[0]}'"
                mend = "let the tip touch the terminal, or slide a pin in from behind"
                place = step.place if step else entry.place
                yield Problem(place, "pushed-into-terminal", saw, "a tip that touches", mend)


def undeclared(draft: Draft) -> Iterator[Problem]:
    """Complain of work without a declared state in a layer that says what follows from one.

    Its cautions and its opening and closing steps would be missing.
    """
    layers = {entry.layer for kind in ("cautions", "routines") for entry in _following(draft, kind)}
    work = [
        *((i.id, i.state, i.place, i.layer) for i in draft.inspections.values() if i.kind != "visual"),
        *(
            (c.id, c.remedy.state, c.place, c.layer)
            for c in draft.causes.values()
            if c.remedy.action in _BY_HAND
        ),
    ]
    for name, state, place, layer in work:
        if state is None and layer in layers:
            saw = f"{name} declares no state"
            mend = "add 'state: {key: ..., engine: ...}'; cautions follow from it"
            yield Problem(place, "state-undeclared", saw, "what it needs of the vehicle and does to it", mend)


def _following(draft: Draft, kind: str) -> Iterator[RawEntry]:
    """Return the cautions or routines that follow from a state."""
    return (entry for entry in draft.raw.of(kind).values() if "follows_from" in entry.node)


def turns_undeclared(draft: Draft) -> Iterator[Problem]:
    """Complain of steps that let the engine turn where neither the state nor the cautions say so."""
    due = {
        entry.id
        for entry in _following(draft, "cautions")
        if follows(alternatives(entry.node), frozenset({"engine running"}))
    }
    for name, entry in draft.raw.of("inspections").items():
        built = draft.inspections[name]
        engine = built.state.engine if built.state else ""
        if engine in ("running", "cranking", "driven") or due <= set(built.cautions):
            continue
        for step in _steps_and_misleads(entry):
            found = _lets_turn(step.text)
            if found:
                saw = f"{name}: '{found}', but the engine is not said to turn"
                mend = "add 'engine: running' or 'engine: cranking' to its 'state'"
                yield Problem(step.place, "engine-undeclared", saw, "a state that says so", mend)


def _steps_and_misleads(entry: RawEntry) -> Iterator[Scalar]:
    """Return the steps of an inspection, and of its false readings those that tell to start the engine."""
    for part in ("steps", "false_readings"):
        said = entry.node.get(part)
        for text in said.items if isinstance(said, Listing) else ():
            if isinstance(text, Scalar) and (part == "steps" or _STARTED.search(text.text)):
                yield text


def _lets_turn(step: str) -> str:
    """Return the words of a step that let the engine turn, or nothing."""
    if not _TURNS.search(step) and not _STARTED.search(step):
        return ""
    for sentence in SENTENCE.split(step):
        found = _TURNS.search(sentence) or _STARTED.search(sentence)
        if found and not _NOT_SO.search(sentence):
            return found[0]
    return ""


def repaired_unread(draft: Draft) -> Iterator[Problem]:
    """Complain of a remedy that parts a plug and says nothing of the codes afterwards."""
    for cause in draft.causes.values():
        state = cause.remedy.state
        told = " ".join((*cause.remedy.notes, *cause.after_repair)).lower()
        if state and state.all_of("unplugged") and "code" not in told:
            saw = f"{cause.id}: something is unplugged, and nothing is said of the codes afterwards"
            mend = "say under 'after_repair' to clear the codes, and when to read them again"
            yield Problem(cause.place, "codes-unread", saw, "codes cleared and read again", mend)


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "pushed-into-terminal": Page(
        "A meter's tip spreads a terminal for ever; the next fault is the one that was just made.",
        "Push the red tip into the terminal.",
        "Touch the terminal; never push the tip into it.",
    ),
    "state-undeclared": Page(
        "Cautions and the opening and closing steps follow from the declared state. Without one this "
        "work would be shown without them.",
        "an inspection that runs the engine and has no 'state'",
        "state: {engine: running}",
    ),
    "engine-undeclared": Page(
        "The steps let the engine turn and the state does not say so: exhaust gas, belts and fans are "
        "not warned of.",
        "state: {key: on}, steps: [Start the engine.]",
        "state: {engine: running}",
    ),
    "codes-unread": Page(
        "Unplugging sets codes, and only codes that were cleared and stayed away show that a repair held.",
        "state: {unplugged: [the coil], put_back: true}, after_repair: [Drive it.]",
        "after_repair: [Clear the codes and read them again after a drive.]",
    ),
}
