"""What a reading says: as typed, its result, the figures computed from it, and remarks."""

from __future__ import annotations

from proveout.intake.called import came_out
from proveout.measure.judging import Judged
from proveout.model.entries import Inspection
from proveout.model.preference import AS_WRITTEN
from proveout.show.figures import percent, wrapped
from proveout.show.inspection import derived_lines
from proveout.show.series import series_text
from proveout.text.unhyphened import unhyphened


def reading_text(inspection: Inspection, judged: Judged, width: int = 80, display: str = AS_WRITTEN) -> str:
    """Return a reading with its result and its figures with their standard uncertainties; a series drawn."""
    states = ", ".join(
        unhyphened(state) if judged.decided else f"{unhyphened(state)} {percent(weight)}"
        for state, weight in judged.states
    )
    lines = [series_text(judged.study, display), ""] if judged.study else []
    lines += wrapped(came_out(inspection.title, judged.said(display)), width, "", "  ")
    lines += wrapped(f"{'counts as' if judged.decided else 'inconclusive:'} {states}", width, "  ")
    for figure in judged.derived:
        lines += wrapped(figure.text(display), width, "  ", "    ")
    for note in judged.noted(display):
        lines += wrapped(note, width, "  ", "    ")
    yields = any(figure.formula for figure in judged.derived)
    if inspection.reading and not yields:
        lines += derived_lines(inspection.reading, width)
    return "\n".join(lines)
