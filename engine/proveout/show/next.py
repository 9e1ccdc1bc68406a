"""How to go on: the command that records the inspection proposed, with what it may be answered."""

from __future__ import annotations

import shlex

from proveout.model.advice import MEND, REPAIR, WATCH, Triage
from proveout.model.atom import CANNOT_TELL
from proveout.model.book import Book
from proveout.model.case import SET_ASIDE
from proveout.model.entries import Inspection
from proveout.show.figures import wrapped


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


def record_text(inspection: Inspection, case: str, width: int = 80) -> str:
    """Give the command that records an inspection in a case, and its possible answers."""
    typed = "RESULT" if inspection.reading is None else "READING"
    lines = [f"Record it with:  proveout record {shlex.quote(case)} {inspection.id} {typed}"]
    lines += wrapped(f"{typed}: {reading_forms(inspection)}", width, "  ", "    ")
    lines += wrapped(f"or, if it cannot be done: {', '.join(SET_ASIDE)}", width, "  ", "    ")
    return "\n".join(lines)


def next_step_text(triage: Triage, book: Book, case: str, width: int = 80) -> str:
    """Give the commands with which a case goes on from its triage."""
    named = shlex.quote(case)
    if triage.next is not None:
        entry = book.inspections[triage.next.inspection]
        return f"\nHow to do it:    proveout steps {named}\n" + record_text(entry, case, width)
    lines = ["", f"Why:  proveout why {named}"]
    cause = triage.verdict.cause
    if triage.verdict.kind == REPAIR and cause:
        if book.causes[cause].remedy.part:
            lines.append(f"When the part is bought:  proveout purchase {named} {cause} --cost AMOUNT")
        lines.append(f"When it is mended:  proveout repair {named} {cause}")
    if triage.verdict.kind == MEND:
        lines.append(f"When it is mended:  proveout mend {named} {cause}")
    if triage.verdict.kind == WATCH:
        lines.append(f"When it was watched:  proveout watch {named} stays-away   or   comes-back")
    return "\n".join(lines)
