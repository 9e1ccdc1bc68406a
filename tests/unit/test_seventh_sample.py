"""What a seventh random hundred found, held for its likes in the whole book (common practice, no source)."""

from __future__ import annotations

import re

from helpers_shipped import shipped_book

COVER = re.compile(r"\b(cam|valve) cover\b")
TAILPIPE = re.compile(r"\btailpipe\b[^.]*\b(closed|three seconds)\b|\bbefore the tailpipe\b")
METER = re.compile(r"\bmeter on (DC volts|AC volts|ohms)\b", re.IGNORECASE)
METERS = {"multimeter", "clamp-meter", "oscilloscope"}


def test_a_cover_that_was_off_goes_back_on_a_sound_gasket() -> None:
    """An oil leak onto the exhaust is worse than what was looked for."""
    opened = {
        name: " ".join(inspection.steps)
        for name, inspection in shipped_book().inspections.items()
        if inspection.state and any(COVER.search(part) for part in inspection.state.all_of("opened"))
    }
    assert len(opened) >= 3
    assert [name for name, text in opened.items() if not ("gasket" in text and "torque" in text)] == []


def test_a_tailpipe_is_held_by_a_glove_and_a_rag() -> None:
    told = [
        text
        for cause in shipped_book().causes.values()
        for text in cause.after_repair
        if TAILPIPE.search(text)
    ]
    assert told != []
    assert [text for text in told if not ("glove" in text and "rag" in text)] == []


def test_a_meter_in_the_steps_is_among_the_tools() -> None:
    """Who reads the tools has all at hand that the steps name, unless they say "at hand"."""
    untold = [
        inspection.id
        for inspection in shipped_book().inspections.values()
        for step in inspection.steps
        if METER.search(step) and "at hand" not in step and not METERS.intersection(inspection.tools)
    ]
    assert untold == []
