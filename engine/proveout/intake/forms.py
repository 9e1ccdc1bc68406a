"""What may be recorded for an inspection, in words."""

from __future__ import annotations

from proveout.model.atom import CANNOT_TELL
from proveout.model.entries import Inspection


def reading_forms(inspection: Inspection) -> str:
    """Say in words what may be recorded for an inspection."""
    words = ", ".join([*(result.id for result in inspection.results), CANNOT_TELL])
    reading = inspection.reading
    if reading is None:
        return f"one of {words}"
    if reading.series:
        pair = f"0{reading.series.stimulus_unit}=2.5{reading.unit}"
        return f"at least {reading.series.at_least} pairs such as {pair}, or one of {words}"
    return f"a {reading.quantity} such as 1.0 {reading.unit}, or one of {words}"
