"""What surrounds a repair: who else may pay, how to prove that it held, what is still ahead."""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence
from typing import Any

from proveout.model.book import Book
from proveout.model.entries import Cause
from proveout.plan.reasons import WATCH_FOR
from proveout.readiness.inspection import Inspected
from proveout.readiness.needs import Need
from proveout.readiness.warranty import ASK_FIRST, Reminder
from proveout.record.closing import Confirmation
from proveout.show.figures import wrapped
from proveout.text.unhyphened import unhyphened


def reminders_text(reminders: Sequence[Reminder], title: str, width: int = 80) -> str:
    """Return what to ask before buying, and the warranty terms that may pay, each with its source."""
    lines = [title, "  Before you buy"]
    for question in ASK_FIRST:
        lines += wrapped(question, width, "  - ", "    ")
    lines.append("  Who else may pay")
    for item in reminders:
        lines += wrapped(
            f"{item.term.title}: {item.stands} ({item.why}). Source: {item.term.source}.",
            width,
            "  - ",
            "    ",
        )
    return "\n".join(lines)


def after_repair_text(cause: Cause, book: Book, width: int = 80, confirms: Sequence[str] = ()) -> str:
    """Say how to prove that a repair held; ``confirms`` says it of the codes of the case."""
    lines = [f"How to prove that this held: {cause.title}"]
    for number, step in enumerate(cause.after_repair, start=1):
        lines += wrapped(step, width, f"  {number}. ")
    direct = ", ".join(f"{book.inspections[key].title} ({key})" for key in book.proved_by.get(cause.id, ()))
    lines += wrapped(f"Repeat the inspection that had shown it: {direct}.", width, "  ")
    if confirms:
        lines.append("What counts as proof for the codes of this case")
    for line in confirms:
        lines += wrapped(line, width, "  - ", "    ")
    return "\n".join(lines)


def ending_text(body: Mapping[str, Any], book: Book) -> str:
    """Say how a case was closed; ``body`` is that of its close event."""
    cause, note = str(body.get("cause", "")), str(body.get("note", ""))
    title = f": {book.causes[cause].title}" if cause in book.causes else ""
    return f"Closed as {unhyphened(str(body.get('outcome')))}{title}." + (f" {note}" if note else "")


def _need_lines(needs: Sequence[Need], width: int) -> list[str]:
    lines: list[str] = []
    for need in needs:
        lines += wrapped(f"{need.about}: {need.what} ({need.sure})", width, "  - ", "    ")
        if need.outlook is None:
            continue
        for title, conditions in (
            ("usually needs", need.outlook.unknown),
            ("does not hold now", need.outlook.unmet),
        ):
            if conditions:
                words = "; ".join(condition.words for condition in conditions)
                lines += wrapped(
                    f"{title}: {words}. Typical; the vehicle's own documents go first.", width, "    "
                )
    return lines


def confirmation_text(found: Confirmation, needs: Sequence[Need], book: Book, width: int = 80) -> str:
    """Say whether a repair is confirmed, what is missing, and what driving is still needed."""
    title = book.causes[found.cause].title if found.cause in book.causes else "The repair"
    if found.confirmed:
        lines = [f"Confirmed: {title}. Close the case as confirmed."]
    else:
        lines = [f"Not confirmed yet: {title}"]
        for item in found.missing:
            lines += wrapped(item, width, "  - ", "    ")
    if needs:
        lines += ["", "Still to drive", *_need_lines(needs, width)]
    return "\n".join(lines)


def ready_text(found: Inspected, needs: Sequence[Need], width: int = 80) -> str:
    """Say what an emissions inspection would say now, and what driving is still needed."""
    programme = found.programme
    if not found.covered:
        lines = wrapped(f"{programme.title}: the on-board system of this vehicle is not inspected.", width)
    elif found.passes:
        lines = wrapped(f"{programme.title}: nothing stands against it in what was read.", width)
    elif found.unknown and not found.failed and not found.refused:
        lines = wrapped(f"{programme.title}: it cannot be said yet.", width)
    else:
        lines = wrapped(f"{programme.title}: it would not pass now.", width)
    for lead, reasons in (
        ("would fail", found.failed),
        ("would be refused", found.refused),
        ("not known", found.unknown),
    ):
        for reason in reasons:
            lines += wrapped(f"{lead}: {reason}", width, "  - ", "    ")
    for remark in found.remarks:
        lines += wrapped(remark, width, "  ")
    lines += wrapped(f"Source: {programme.source}. Local rules decide.", width, "  ")
    if needs:
        lines += ["", "Still to drive", *_need_lines(needs, width)]
    return "\n".join(lines)


def watching_text(cause: Cause, case: str, width: int = 80) -> str:
    """Say how to watch what comes of putting a cause right."""
    lines = [f"How to watch what comes of it: {cause.title}"]
    for number, step in enumerate(cause.after_repair, start=1):
        lines += wrapped(step, width, f"  {number}. ")
    lines += wrapped(f"Clear the codes, and watch {WATCH_FOR}.", width, "  ")
    return "\n".join([*lines, f"  Then: proveout watch {shlex.quote(case)} stays-away   or   comes-back"])
