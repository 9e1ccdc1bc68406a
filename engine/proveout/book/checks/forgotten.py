"""Checks of what is forgotten: the codes that a test sets, the second person, the fuse that was pulled."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.entries import Inspection
from proveout.model.problem import Place, Problem
from proveout.text.node import Listing, Scalar

#: Revs that no engine idles at; ten times less is a change of the idle.
_REVS = re.compile(r"(?<![\d,])\d,?\d{3} rpm\b")
#: Words of a second person, or of the place from which one person can do both.
_TWO = re.compile(r"\b(helper|someone|somebody|driver's seat)\b", re.IGNORECASE)
#: Whence the pedal is reached while something is read.
_AT_THE_PEDAL = frozenset({"driver-seat", "diagnostic-socket"})
_PULLED = re.compile(
    r"\b(?:fuse|relay)(?: and (?:fuse|relay))?(?: is)? (?:out|pulled)\b"
    r"|\bpull (?:the|its|their|that) (?:[\w']+ ){0,2}(?:fuse|relay)\b",
    re.IGNORECASE,
)
_DENIED = re.compile(r"\b(never|not|don't|before|if|where)\b", re.IGNORECASE)
_SENTENCE = re.compile(r"(?<=[.;:]) ")


def codes_uncleared(draft: Draft) -> Iterator[Problem]:
    """Complain of an inspection that turns the key with a plug off and says nothing of clearing the codes."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or not state.all_of("unplugged") or state.codes == "cleared":
            continue
        live = state.key == "on" or state.engine in ("running", "cranking")
        if live and "clear" not in " ".join(inspection.steps).lower():
            saw = f"{inspection.id}: the key is on with something unplugged, and nothing is said of the codes"
            mend = "add 'codes: cleared' to its 'state'; the steps that read and clear them follow"
            yield Problem(state.place, "codes-uncleared", saw, "codes read first and cleared", mend)


def revs_held_alone(draft: Draft) -> Iterator[Problem]:
    """Complain of revs that are held while somebody reads under the bonnet, with nobody at the pedal."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or state.engine != "running" or state.helper:
            continue
        if not set(inspection.access) - _AT_THE_PEDAL or _TWO.search(" ".join(inspection.steps)):
            continue
        for step, place in _steps(draft, inspection):
            if found := _REVS.search(step):
                saw = f"{inspection.id}: {found[0]} with nobody at the pedal"
                mend = "add 'helper: ...' to its 'state', and say in the step what the helper does"
                yield Problem(place, "revs-held-alone", saw, "a helper at the pedal", mend)


def removed_undeclared(draft: Draft) -> Iterator[Problem]:
    """Complain of a fuse or relay that the steps pull and the state does not name as removed."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or state.all_of("removed") or state.stays:
            continue
        said = " ".join((inspection.leads, *inspection.steps)).lower()
        for part in _SENTENCE.split(" ".join((inspection.leads, *inspection.steps))):
            found = _PULLED.search(part)
            if found and not _DENIED.search(part) and not _back_in(said):
                saw = f"{inspection.id}: '{found[0]}', but nothing is said to be removed"
                mend = "add 'removed: [the fuse]' and 'put_back: true' to its 'state'"
                yield Problem(state.place, "removed-undeclared", saw, "a state that says so", mend)
                break


def _back_in(said: str) -> bool:
    """Say whether some steps put a fuse or relay back themselves."""
    return any(words in said for words in ("fuse back", "relay back", "fuse in", "swap back", "push it back"))


def _steps(draft: Draft, inspection: Inspection) -> Iterator[tuple[str, Place]]:
    """Return the steps of an inspection as written, each with its place."""
    steps = draft.raw.of("inspections")[inspection.id].node.get("steps")
    for step in steps.items if isinstance(steps, Listing) else ():
        if isinstance(step, Scalar):
            yield step.text, step.place


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "codes-uncleared": Page(
        "With the key on a module misses what is unplugged and stores a code. Who is not told to clear it "
        "finds a new fault, and who was not told to read first has lost the old one.",
        "state: {key: on, unplugged: [the sensor], put_back: true}",
        "state: {key: on, unplugged: [the sensor], put_back: true, codes: cleared}",
    ),
    "revs-held-alone": Page(
        "Nobody holds the revs and reads under the bonnet at once; who tries reaches for the throttle beside "
        "belts and fan, or leaves the seat of a car whose engine races.",
        "{engine: running}, access: [engine-bay], steps: [Hold 2,500 rpm and read.]",
        "{engine: running, helper: holds the revs}, steps: [The helper holds 2,500 rpm; read.]",
    ),
    "removed-undeclared": Page(
        "A fuse that the steps pull and the state does not name is not said to be put back: the next fault "
        "of this vehicle.",
        "state: {key: off}, steps: [Key off, fuse out. Measure to ground.]",
        "state: {key: off, removed: [the fuse], put_back: true}",
    ),
}
