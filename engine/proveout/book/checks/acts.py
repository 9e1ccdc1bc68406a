"""Checks of acts that are told and not declared: on battery, crankshaft, fuses and codes, by how many people.

What is declared is warned of and undone at the end; an act that stands in the steps alone is not.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.checks.sentences import found_in, undenied
from proveout.book.draft import Draft
from proveout.book.entry import RawEntry
from proveout.book.fields import inner
from proveout.book.remembered import remembered
from proveout.model.problem import Place, Problem
from proveout.model.state import State
from proveout.text.node import Listing, Scalar

_DENIED = re.compile(r"\b(never|not|don't|without|where .* off already|was off)\b", re.IGNORECASE)
_BATTERY = re.compile(
    r"\bbattery(?: negative|'s negative clamp)? (?:is |comes |clamp )?off\b"
    r"|\bnegative (?:clamp )?(?:of the battery )?off\b",
    re.IGNORECASE,
)
#: Turned by hand, and what says that it is the engine that turns.
_BY_HAND = re.compile(r"\bturn\w*\b.*\bby hand\b|\bby hand\b.*\bturns?\b|\bby its bolt\b", re.IGNORECASE)
_ENGINE = re.compile(
    r"\b(engine|crankshaft|by its bolt|(?:running|its own) direction|(?:one|two) (?:full )?turns?)\b",
    re.IGNORECASE,
)
_CLEARED = re.compile(
    r"\bclear(?:s|ed|ing)? (?:the |all |any |both )?codes?\b|\bclear(?:s|ed)? it\b"
    r"|(?<!since )\bcodes cleared\b",
    re.IGNORECASE,
)
_REVS = re.compile(r"\b\d[\d,]{3,} rpm\b|\bblip\b|\brev (?:it|once)\b", re.IGNORECASE)
_PULLED = re.compile(
    r"\b(?:fuse|relay)(?: and (?:fuse|relay))?(?: is)? (?:out|pulled)\b"
    r"|\bpull (?:the|its|their|that) (?:[\w']+ ){0,2}(?:fuse|relay)\b",
    re.IGNORECASE,
)
#: Steps that put a fuse or relay back themselves.
_BACK = ("fuse back", "relay back", "fuse in", "swap back", "push it back")
#: With these words in the steps the opening step that parts a plug is left out, since it begins so.
_KEY_OFF = re.compile(r"\bkey (?:off|out)\b|\b(?:battery|negative) off\b", re.IGNORECASE)
#: What parts a plug.
_PARTS = re.compile(
    r"unplug|\bplugs?\b[^.;]*\b(off|out|parted|apart|pulled|aside)\b|\b(off|out|lift|open|pull(?:ed)?)\b[^.;]*"
    r"\b(plugs?|connectors?|lock)\b|\bpart(?:ed|s)?\b|press the lock|release the latch|both halves|disconnect"
    r"|connectors?\b[^.;]*\b(off|apart)|\bevery sensor|\bwith .* out\b|\bopen those\b",
    re.IGNORECASE,
)
#: Places from which somebody can work the pedal himself.
_AT_THE_PEDAL = {"driver-seat", "diagnostic-socket"}
_TURNING = ("running", "cranking", "driven")
#: What pushes in and is pulled out; a lead that is taken off together with a coil goes with it.
_PUSHES_IN = re.compile(r"^(?!.*\bcoil).*\b(?:fuses?|relays?|leads?)\b", re.IGNORECASE)
#: What always has a plug.
_PLUGGED = re.compile(r"\b(sensor|coil|injector)s?$")


def battery_undeclared(draft: Draft) -> Iterator[Problem]:
    """Complain of work with the battery off that does not declare it: nobody puts the clamp on again."""
    for name, state, text, place in _told(draft):
        found = undenied(_BATTERY, text, _DENIED)
        if found and not state.battery:
            saw = f"{name}: '{found}', and the state says nothing of the battery"
            yield Problem(
                place, "battery-undeclared", saw, "battery: off", "add 'battery: off' to its 'state'"
            )


def turned_by_hand(draft: Draft) -> Iterator[Problem]:
    """Complain of an engine turned by hand where the state does not say so: the spanner stays on."""
    for name, state, text, place in _told(draft):
        found = next((part for _, part in found_in(_BY_HAND, text) if _turns_engine(part)), "")
        if found and "crankshaft" not in state.all_of("turning"):
            saw = f"{name}: '{found[:60]}', and the crankshaft is not said to be turned"
            mend = "add 'turning: [crankshaft]' to its 'state'"
            yield Problem(place, "turned-by-hand", saw, "turning: [crankshaft]", mend)


def cleared_unread(draft: Draft) -> Iterator[Problem]:
    """Complain of steps that clear codes where nobody is told to write them down before."""
    for name, state, text, place in _told(draft, remedies=False):
        found = _CLEARED.search(text)
        if found and not state.codes:
            saw = f"{name}: '{found[0]}', and the codes and the freeze frame are not read before"
            yield Problem(
                place, "cleared-unread", saw, "codes: read-first", "add 'codes: read-first' or 'cleared'"
            )


def codes_left(draft: Draft) -> Iterator[Problem]:
    """Complain of what is unplugged under power, where the codes that this sets are left behind."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or state.codes or not state.all_of("unplugged"):
            continue
        if state.key == "on" or state.engine in _TURNING:
            what = state.all_of("unplugged")[0]
            saw = f"{inspection.id}: {what} unplugged under power, and nothing is said of the codes"
            yield Problem(
                state.place, "codes-left", saw, "codes: cleared", "add 'codes: cleared' to its 'state'"
            )


def plug_forgotten(draft: Draft) -> Iterator[Problem]:
    """Complain of a part with a plug that is taken out, where no word is said of its plug."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or state.all_of("unplugged"):
            continue
        part = next((name for name in state.all_of("removed") if _PLUGGED.search(name)), "")
        if part and "plug" not in " ".join((inspection.leads, *inspection.steps)).lower():
            saw = f"{inspection.id}: {part} is taken out, and nothing is said of its plug"
            mend = f"add 'unplugged: [{part}]' to its 'state', or say that the plug stays on"
            yield Problem(state.place, "plug-forgotten", saw, f"unplugged: [{part}]", mend)


def plug_unparted(draft: Draft) -> Iterator[Problem]:
    """Complain of what is said to be unplugged where no step parts it: the last one joins what never was."""
    for inspection in draft.inspections.values():
        state = inspection.state
        parts = state.all_of("unplugged") if state else ()
        text = " ".join((inspection.leads, *inspection.steps))
        if state and parts and _KEY_OFF.search(text) and not _PARTS.search(text):
            saw = f"{inspection.id}: {parts[0]} is said to be unplugged, and no step parts it"
            mend = "let a step part the plug, or take it out of 'unplugged'"
            yield Problem(state.place, "plug-unparted", saw, "a step that parts the plug", mend)


def revs_alone(draft: Draft) -> Iterator[Problem]:
    """Complain of an engine that is to be raised to a speed by somebody who stands under the bonnet."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if (
            state is None
            or state.engine != "running"
            or state.helper
            or _AT_THE_PEDAL & set(inspection.access)
        ):
            continue
        for name, _, text, place in _told(draft, remedies=False, only=inspection.id):
            found = _REVS.search(text)
            if found:
                saw = f"{name}: '{found[0]}' with nobody at the pedal"
                yield Problem(
                    place, "revs-alone", saw, "a helper at the pedal", "add 'helper: ...' to its 'state'"
                )
                break


def fuse_left(draft: Draft) -> Iterator[Problem]:
    """Complain of a fuse or relay that the steps pull, and that neither state nor steps put back."""
    for inspection in draft.inspections.values():
        state, steps = inspection.state, " ".join(inspection.steps).lower()
        away = state and (*state.all_of("pulled"), *state.all_of("removed"))
        if state is None or away or any(words in steps for words in _BACK):
            continue
        for name, _, text, place in _told(draft, remedies=False, only=inspection.id):
            found = undenied(_PULLED, text, _DENIED)
            if found:
                saw = f"{name}: '{found}', and nothing is said to be pulled"
                mend = "add 'pulled: [the fuse]' and 'put_back: true' to its 'state'"
                yield Problem(place, "fuse-left", saw, "pulled: [the fuse]", mend)
                break


def torque_on_nothing(draft: Draft) -> Iterator[Problem]:
    """Complain of a fuse, relay or lead that is declared as removed: it would be fitted to a torque."""
    works = (
        *((i.id, i.state) for i in draft.inspections.values()),
        *((c.id, c.remedy.state) for c in draft.causes.values()),
    )
    for name, state in works:
        what = (
            next((item for item in state.all_of("removed") if _PUSHES_IN.search(item)), "") if state else ""
        )
        if state and what:
            saw = f"{name}: '{what}' is said to be removed, and would be fitted to the maker's torque"
            yield Problem(state.place, "torque-on-nothing", saw, f"pulled: [{what}]", "write 'pulled' for it")


def _turns_engine(sentence: str) -> bool:
    """Say whether it is the engine that a sentence has turned by hand."""
    return bool(_ENGINE.search(sentence) and not _DENIED.search(sentence))


def _told(draft: Draft, remedies: bool = True, only: str = "") -> Iterator[tuple[str, State, str, Place]]:
    """Return every step, and every note of a remedy, of what declares a state: id, state, text, place."""
    inspections = draft.inspections if not only else {only: draft.inspections[only]}
    for name, built in inspections.items():
        if built.state:
            for text, place in _said(draft.raw.of("inspections")[name]):
                yield name, built.state, text, place
    for name, cause in draft.causes.items() if remedies else ():
        if cause.remedy.state:
            for text, place in _noted(draft.raw.of("causes")[name]):
                yield name, cause.remedy.state, text, place


@remembered
def _said(entry: RawEntry) -> tuple[tuple[str, Place], ...]:
    """Return what an inspection tells to do, each text with its place."""
    parts = ("steps", "damage_limit", "leads")
    return tuple(text for part in parts for text in _texts(entry.node.get(part)))


@remembered
def _noted(entry: RawEntry) -> tuple[tuple[str, Place], ...]:
    """Return the notes of a cause's remedy, each with its place."""
    return tuple(_texts(inner(entry.node, "remedy").get("notes")))


def _texts(node: object) -> Iterator[tuple[str, Place]]:
    """Return a text, or the texts of a list, each with its place."""
    items = node.items if isinstance(node, Listing) else (node,)
    return ((item.text, item.place) for item in items if isinstance(item, Scalar))


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "battery-undeclared": Page(
        "A battery that is taken off is warned of, and put on again last, only where the state says so; "
        "otherwise plugs are joined under power or the clamp stays loose.",
        "state: {key: off, engine: off}, steps: [Battery off. Part the module's plug.]",
        "state: {key: off, engine: off, battery: off}",
    ),
    "turned-by-hand": Page(
        "A spanner left on the crankshaft bolt is thrown at the first start, and a key that is turned "
        "meanwhile breaks an arm.",
        "state: {key: off, engine: off}, steps: [Turn the engine two turns by hand.]",
        "state: {key: off, engine: off, turning: [crankshaft]}",
    ),
    "cleared-unread": Page(
        "Clearing wipes codes, freeze frame and monitors; what was not written down before is lost.",
        "state: {engine: driven}, steps: [Clear the codes and drive.]",
        "state: {engine: driven, codes: read-first}",
    ),
    "codes-left": Page(
        "What is unplugged under power sets codes of its own, which the next reader takes for faults.",
        "state: {key: on, unplugged: [the fan], put_back: true}",
        "state: {key: on, unplugged: [the fan], put_back: true, codes: cleared}",
    ),
    "plug-forgotten": Page(
        "A sensor, coil or injector that is fitted again and not plugged in is the next fault of this "
        "vehicle; a coil left off sends raw fuel into the catalyst.",
        "state: {key: off, removed: [the coil], put_back: true}",
        "state: {key: off, unplugged: [the coil], removed: [the coil], put_back: true}",
    ),
    "plug-unparted": Page(
        "Steps that begin with the key off are not told once more to part a plug; what is forgotten there is "
        "worked on with its plug joined.",
        "state: {key: off, unplugged: [the coil], put_back: true}, steps: [Key off. Take the hose off.]",
        "steps: [Key off. Part the coil's plug. Take the hose off.]",
    ),
    "revs-alone": Page(
        "Whoever is alone reaches over a running engine to its throttle; a helper works the pedal.",
        "state: {engine: running}, access: [engine-bay], steps: [Hold 2000 rpm.]",
        "state: {engine: running, helper: holds the speed}",
    ),
    "fuse-left": Page(
        "A fuse that the steps pull and the state does not name is not said to be put back: the next fault "
        "of this vehicle.",
        "state: {key: off}, steps: [Key off, fuse out. Measure to ground.]",
        "state: {key: off, pulled: [the fuse], put_back: true}",
    ),
    "torque-on-nothing": Page(
        "What is removed is fitted again, bolts to the maker's torque; a fuse, a relay or a lead "
        "only pushes in, and whoever looks for its torque stops believing the rest.",
        "state: {key: off, removed: [the relay], put_back: true}",
        "state: {key: off, pulled: [the relay], put_back: true}",
    ),
}
