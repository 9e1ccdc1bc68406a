"""How to go on: the command that records the inspection proposed, with what it may be answered."""

from __future__ import annotations

import shlex

from proveout.intake.forms import reading_forms
from proveout.model.advice import MEND, REPAIR, WATCH, Triage
from proveout.model.book import Book
from proveout.model.case import SET_ASIDE
from proveout.model.entries import Inspection
from proveout.show.figures import wrapped


def record_text(inspection: Inspection, case: str, width: int = 80) -> str:
    """Return the command that records an inspection in a case, and its possible answers."""
    typed = "RESULT" if inspection.reading is None else "READING"
    lines = [f"Record it with:  proveout record {shlex.quote(case)} {inspection.id} {typed}"]
    lines += wrapped(f"{typed}: {reading_forms(inspection)}", width, "  ", "    ")
    lines += wrapped(f"or, if it cannot be done: {', '.join(SET_ASIDE)}", width, "  ", "    ")
    return "\n".join(lines)


def next_step_text(triage: Triage, book: Book, case: str, width: int = 80) -> str:
    """Return the commands with which a case goes on from its triage."""
    named = shlex.quote(case)
    if triage.next is not None:
        entry = book.inspections[triage.next.inspection]
        return f"\nHow to do it:    proveout steps {named}\n" + record_text(entry, case, width)
    if triage.is_blank:
        return f"\nAdd a code or what you notice:  proveout amend {named}"
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
