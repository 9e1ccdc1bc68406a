"""Checks of the declared state of the vehicle: nothing in it may hurt a person or a part."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.entries import Cause, Inspection
from proveout.model.problem import Problem
from proveout.model.state import State

#: What is put back where it was changed.
_CHANGED = ("unplugged", "opened", "removed", "pulled", "bridged")
#: Volts by which a circuit may be fed above what it is rated for: a charged battery on a 12 V part.
_ABOVE = 1.2


def _states(draft: Draft) -> Iterator[tuple[str, State, tuple[str, ...]]]:
    """Return every declared state with the id of its entry and the places that are opened for it."""
    for inspection in draft.inspections.values():
        if inspection.state is not None:
            yield inspection.id, inspection.state, inspection.access
    for cause in draft.causes.values():
        if cause.remedy.state is not None:
            yield cause.id, cause.remedy.state, cause.remedy.access


def running_on_stands(draft: Draft) -> Iterator[Problem]:
    """Refuse an engine that turns on stands without somebody at the key, or with somebody beneath."""
    for name, state, _ in _states(draft):
        if state.vehicle in ("", "on-wheels") or state.engine not in ("cranking", "running"):
            continue
        if state.beneath:
            saw = f"{name}: the engine is {state.engine} with somebody beneath a vehicle on stands"
            mend = "let nobody lie beneath: listen and feel from aside"
            yield Problem(state.place, "running-on-stands", saw, "beneath: false", mend)
        elif not state.helper:
            saw = f"{name}: the engine is {state.engine} on stands with nobody at the key"
            yield Problem(state.place, "running-on-stands", saw, "a helper at the key", "add 'helper: ...'")


def nobody_at_the_key(draft: Draft) -> Iterator[Problem]:
    """Refuse an engine that is cranked while the only person has hands or instrument elsewhere."""
    for name, state, access in _states(draft):
        away = set(access) - {"driver-seat", "diagnostic-socket"}
        if state.engine == "cranking" and away and not state.helper:
            saw = f"{name}: the engine is cranked while somebody reads an instrument elsewhere"
            yield Problem(state.place, "nobody-at-the-key", saw, "a helper at the key", "add 'helper: ...'")


def engine_without_key(draft: Draft) -> Iterator[Problem]:
    """Refuse an engine that turns with the key off."""
    for name, state, _ in _states(draft):
        if state.key == "off" and state.engine in ("cranking", "running", "driven"):
            saw = f"{name}: key off and engine {state.engine}"
            yield Problem(state.place, "engine-without-key", saw, "key: on", "say which of the two it is")


def left_off(draft: Draft) -> Iterator[Problem]:
    """Refuse what is unplugged, opened, removed, pulled or bridged and stays so."""
    for name, state, _ in _states(draft):
        changed = [word for word in _CHANGED if state.all_of(word)]
        if changed and not state.put_back and not state.stays:
            saw = f"{name}: something is {changed[0]} and stays so"
            mend = "add 'put_back: true', or say why it stays: 'stays: ...'"
            yield Problem(state.place, "left-off", saw, "everything put back", mend)


def fed_too_high(draft: Draft) -> Iterator[Problem]:
    """Refuse a voltage on a part that is rated lower, and a lead from the battery without a fuse."""
    for name, state, _ in _states(draft):
        for fed in state.powered:
            if fed.volts > fed.rated * _ABOVE:
                saw = f"{name}: {fed.volts:g} V on {fed.what}, which is rated for {fed.rated:g} V"
                mend = "feed it with what it is rated for, or measure it instead"
                yield Problem(state.place, "fed-too-high", saw, f"at most {fed.rated:g} V", mend)
            elif fed.fuse is None:
                saw = f"{name}: {fed.what} is fed by a lead without a fuse"
                yield Problem(state.place, "fed-without-fuse", saw, "a fuse in the lead", "add 'fuse: 3'")


def state_for_nothing(draft: Draft) -> Iterator[Problem]:
    """Refuse vehicles that an entry is said to fit and not to fit at once."""
    entries: tuple[Inspection | Cause, ...] = (*draft.inspections.values(), *draft.causes.values())
    for entry in entries:
        both = sorted(set(entry.fits) & set(entry.not_for))
        if both:
            saw = f"{entry.id}: {both[0]} under both 'fits' and 'not_for'"
            yield Problem(entry.place, "fits-nothing", saw, "one of the two", "remove one")


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "running-on-stands": Page(
        "An engine that turns while the vehicle stands raised can throw it off; nobody lies beneath, "
        "and somebody sits at the key who switches off at a call.",
        "{engine: running, vehicle: on-stands}",
        "{engine: running, vehicle: on-stands, helper: sits at the key}",
    ),
    "nobody-at-the-key": Page(
        "Whoever cranks cannot read an instrument under the bonnet, and a starter switched from there "
        "starts an engine with nobody at the wheel.",
        "{engine: cranking} with access: [engine-bay]",
        "{engine: cranking, helper: cranks}",
    ),
    "engine-without-key": Page(
        "With the key off the engine neither runs nor cranks: one of the two is a slip.",
        "{key: off, engine: running}",
        "{engine: running}",
    ),
    "left-off": Page(
        "What is unplugged, opened, removed, pulled or bridged and stays so is the next fault of this "
        "vehicle.",
        "{unplugged: [the fan]}",
        "{unplugged: [the fan], put_back: true}",
    ),
    "fed-too-high": Page(
        "A part or circuit fed above what it is made for is destroyed: battery voltage on a 5 V "
        "supply takes every sensor on it.",
        "powered: [{what: signal wire, volts: 12, rated: 5, fuse: 1}]",
        "measure it instead, or feed what it is rated for",
    ),
    "fed-without-fuse": Page(
        "A slipped lead from the battery without a fuse burns a wire, a module or a hand.",
        "powered: [{what: the coil, volts: 12}]",
        "powered: [{what: the coil, volts: 12, fuse: 3}]",
    ),
    "fits-nothing": Page(
        "The entry is said to need a kind of vehicle and not to be for it.",
        "fits: [diesel], not_for: [diesel]",
        "fits: [diesel]",
    ),
}
