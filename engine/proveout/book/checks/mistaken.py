"""Checks of what is easily taken for the fault: a flat battery, and the leak of one's own hand pump."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.entries import Inspection
from proveout.model.problem import Problem

#: Volts of a battery between flat and full: what is judged by a figure here is judged by the battery's state.
_FLAT, _FULL = 8.0, 12.6
_BATTERY = re.compile(
    r"\b(flat|low|weak|charged?|discharged|drained|run-down)\b[^.;]*\bbattery\b"
    r"|\bbattery\b[^.;]*\b(charged|flat|low|first|compar\w+|posts? too)\b"
    r"|\b(below|against|compare\w*|with|within|than|at) the battery('s own)?\b"
    r"|\bown posts\b|\bbattery's posts\b|\bred on the positive post\b|\bclips on the posts\b"
    r"|\bbattery's (own|positive|negative|two|poles?|posts?)\b[^.;]*\b(posts?|volt\w*|clamps?|poles?)\b",
    re.IGNORECASE,
)
#: Volts that are taken against the battery's own of the same moment, or at its posts.
_SAME_MOMENT = re.compile(
    r"\bposts? at (?:the same|that) moment\b|\bred (?:lead )?on the (?:battery's )?positive post\b",
    re.IGNORECASE,
)
_PUMP = "hand-vacuum-pump"
_LEAKS = re.compile(
    r"\b(leaks|loses|does not hold|not hold|builds no|cannot build|falls at once|torn)\b",
    re.IGNORECASE,
)
_PUMP_TRIED = re.compile(
    r"\b(thumb|closed end|pump(?:'s)? hose|own (?:tee|hose|joint|pump)|pinch it at|plug that does not sit)\b",
    re.IGNORECASE,
)


def battery_unread(draft: Draft) -> Iterator[Problem]:
    """Complain of volts judged by a figure that a flat battery lacks, with no word said of the battery."""
    for inspection in draft.inspections.values():
        edge = _edge(inspection)
        if edge and not _BATTERY.search(_said(inspection)):
            saw = f"{inspection.id}: {edge:g} V, and nothing is said of the battery's own voltage"
            mend = "say under 'false_readings' that a flat battery reads low, and what counts then"
            yield Problem(inspection.place, "battery-unread", saw, "the battery measured too", mend)


def charging_unread(draft: Draft) -> Iterator[Problem]:
    """Complain of volts with the engine running, judged by a figure made for a resting battery."""
    for inspection in draft.inspections.values():
        edge, state = _edge(inspection), inspection.state
        if not edge or state is None or state.engine not in ("running", "driven"):
            continue
        if not _SAME_MOMENT.search(_said(inspection)):
            saw = f"{inspection.id}: {edge:g} V with the engine running, whatever the battery has then"
            mend = "let the reading be entered against the battery's posts at the same moment"
            yield Problem(inspection.place, "charging-unread", saw, "the battery read with it", mend)


def _edge(inspection: Inspection) -> float:
    """Return a limit in volts between a flat and a full battery, or nothing."""
    reading = inspection.reading
    if reading is None or reading.quantity != "voltage":
        return 0.0
    ends = (end for band in reading.bands for end in (band.low, band.high))
    return next((end for end in ends if end is not None and _FLAT < end < _FULL), 0.0)


def pump_untried(draft: Draft) -> Iterator[Problem]:
    """Complain of a part that leaks at the hand pump, where no word is said of the pump's own hose."""
    for inspection in draft.inspections.values():
        if _PUMP not in inspection.tools or _PUMP_TRIED.search(_said(inspection)):
            continue
        bad = next(
            (r for r in inspection.results if not r.normal and _LEAKS.search(f"{r.id} {r.means}")), None
        )
        if bad:
            saw = f"{inspection.id}: '{bad.id}', which a leaking pump hose gives too"
            mend = "say under 'false_readings' to test the pump against the thumb first"
            yield Problem(inspection.place, "pump-untried", saw, "the pump tried by itself", mend)


def _said(inspection: Inspection) -> str:
    """Return all that an inspection tells, apart from its results."""
    texts = (inspection.leads, inspection.damage_limit, *inspection.steps, *inspection.false_readings)
    return " ".join(text for text in texts if text)


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "battery-unread": Page(
        "A flat battery reads low at every plug, and most cars that will not start have one: a sound wire is "
        "called broken.",
        "limits: {fed: 10.5.., missing: otherwise}",
        "false_readings: [A flat battery reads low everywhere; read at its own posts too.]",
    ),
    "charging-unread": Page(
        "A running engine lifts the battery to 14 V: a wire that loses two of them still shows 12 V, which a "
        "limit made for a resting battery takes for full.",
        "state: {engine: running}, limits: {fed: 11.5.., low: otherwise}",
        "steps: [Enter 12.6 V less what is missing against the battery's posts at the same moment.]",
    ),
    "pump-untried": Page(
        "A hand pump leaks at its own hose more often than the part does, and looks just the same.",
        "tools: [hand-vacuum-pump], results: {torn: {means: It loses its vacuum.}}",
        "false_readings: [A leaking pump hose looks just the same; test the pump against your thumb first.]",
    ),
}
