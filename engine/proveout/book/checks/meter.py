"""Checks of what a meter is put on: ohms only where volts were looked for first, or where none can be."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.checks.steps import steps_of
from proveout.book.draft import Draft
from proveout.model.entries import Inspection
from proveout.model.problem import Problem

#: What is said where a meter measures ohms; a lead of 1 kohm, or a pin that meets resistance, is not.
_OHMS = re.compile(r"\b(?:in|on) ohms\b|\bohms (?:from|on|to|end|across|between)\b", re.IGNORECASE)
#: Wires of the vehicle, which can touch a feed; not the pins of a part whose plug is off.
_WIRES = re.compile(
    r"(?<!never at the )\bharness half\b|\bend to end\b|\b(?:each|control|signal|feed|supply|sense) wires?\b"
    r"|\bsignal terminal\b|\bload side\b|\brelay socket\b|\bbus terminals\b",
    re.IGNORECASE,
)
_VOLTS = re.compile(r"\bvolts\b|\bno voltage\b", re.IGNORECASE)


def ohms_on_live(draft: Draft) -> Iterator[Problem]:
    """Complain of ohms on a wire of the vehicle that may be live: battery on, no volts looked for before."""
    for inspection in draft.inspections.values():
        state = inspection.state
        if state is None or state.battery == "off" or not (state.all_of("unplugged") or state.probed):
            continue
        steps = tuple(steps_of(draft, inspection))
        told = " ".join(step for step, _ in steps)
        if not _measures_ohms(inspection, told) or not _WIRES.search(f"{inspection.leads} {told}"):
            continue
        if not _VOLTS.search(inspection.leads) and not _volts_first(told):
            saw = f"{inspection.id}: ohms on a wire of the vehicle, and no volts looked for before"
            mend = "measure volts to bare metal first, in the steps, or say 'battery: off' in its 'state'"
            place = steps[0][1] if steps else inspection.place
            yield Problem(place, "ohms-on-live", saw, "volts before ohms", mend)


def _measures_ohms(inspection: Inspection, told: str) -> bool:
    """Say whether an inspection has ohms measured: as its reading, or in its steps or leads."""
    reading = inspection.reading
    if reading is not None:
        return reading.quantity == "resistance"
    return bool(_OHMS.search(f"{inspection.leads} {told}"))


def _volts_first(told: str) -> bool:
    """Say whether steps look for volts before they name ohms."""
    volts, ohms = _VOLTS.search(told), _OHMS.search(told)
    return volts is not None and (ohms is None or volts.start() < ohms.start())


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "ohms-on-live": Page(
        "A wire that touches a feed is live whatever its plug says: in ohms it destroys the meter, or reads "
        "what is not there. Volts are looked for first, or the battery is off.",
        "state: {unplugged: [the fan]}, steps: [Measure the control wire end to end in ohms.]",
        "steps: [In volts to bare metal first. What shows none is measured end to end in ohms.]",
    ),
}
