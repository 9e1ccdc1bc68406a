"""A triage as text for the terminal: verdict first, then what to do next, then how the causes stand."""

from __future__ import annotations

import shlex
from collections.abc import Mapping
from typing import Any

from proveout.intake.telling import notes
from proveout.model.advice import INSPECT, NONE, REFER, REPAIR, Next, Standing, Triage
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.record.documents import reasons
from proveout.show.cautions import caution_lines, remedy_lines
from proveout.show.deeds import ending_text
from proveout.show.driving import driving_lines
from proveout.show.figures import cause_title, minutes, money, percent, wrapped
from proveout.text.lowered import lowered

_HEADLINES = {
    INSPECT: "Nothing is proven yet: inspect further",
    REPAIR: "Proven",
    REFER: "Refer this out",
    NONE: "Nothing found that needs mending",
}
_DIRECT = {"failed": "shown directly", "passed": "cleared directly", "none": "not inspected"}
_SHOWN_CAUSES = 8


def headline(triage: Triage, book: Book) -> str:
    """Give the verdict in one line."""
    verdict = triage.verdict
    said = _HEADLINES[verdict.kind]
    return f"{said}: {cause_title(book, verdict.cause)}" if verdict.cause else said


def _next_lines(step: Next, book: Book, width: int) -> list[str]:
    inspection = book.inspections[step.inspection]
    wanted = (book.words.tools[tool] for tool in inspection.tools)
    tools = ", ".join(lowered(tool.title) for tool in wanted if not tool.basic)
    again = ", once more" if step.again else ""
    lines = ["", f"Do this next{again}: {inspection.title} ({inspection.id})"]
    lines.append(
        f"  {minutes(step.minutes)}, costs about {money(step.cost)}, "
        f"expected to save {money(max(step.expected_saving, 0.0))}; needs {tools or 'only the basics'}"
    )
    lines += caution_lines(book, inspection, width)
    for outcome in step.outcomes:
        lines += wrapped(
            f"{outcome.result} ({percent(outcome.probability)}): then most likely "
            f"{lowered(cause_title(book, outcome.leads_to))}",
            width,
            "  ",
            "      ",
        )
    return lines


def _standing_line(standing: Standing, book: Book, width: int) -> str:
    title = cause_title(book, standing.cause)
    room = width - 34
    title = title if len(title) <= room else title[: room - 1] + "…"
    note = _DIRECT[standing.direct] + (", part already replaced" if standing.replaced else "")
    return f"  {title:<{room}} {percent(standing.confidence):>6}  {note}"


def _standing_lines(triage: Triage, book: Book, width: int) -> list[str]:
    if not triage.standings:
        return []
    lines = ["", "How the causes stand"]
    lines += [_standing_line(standing, book, width) for standing in triage.standings[:_SHOWN_CAUSES]]
    hidden = triage.standings[_SHOWN_CAUSES:]
    if hidden:
        lines.append(f"  and {len(hidden)} more, none above {percent(hidden[0].confidence)}")
    room = width - 34
    lines.append(f"  {'None of these':<{room}} {percent(triage.not_in_book):>6}")
    return lines


def _remedy_lines(triage: Triage, book: Book, width: int) -> list[str]:
    if triage.verdict.kind not in (REPAIR, REFER) or not triage.verdict.cause:
        return []
    cause = book.causes[triage.verdict.cause]
    lines = ["", "What mends it", *remedy_lines(book, cause.remedy, width)]
    if cause.after_repair:
        lines += ["", "How to prove the repair held"]
        for number, step in enumerate(cause.after_repair, start=1):
            lines += wrapped(step, width, f"  {number}. ")
    return lines


def closed_text(body: Mapping[str, Any], triage: Triage, book: Book, case: str, width: int = 80) -> str:
    """Return how a closed case ended and stood; ``body`` is that of its close event, ``case`` its name."""
    lines = wrapped(ending_text(body, book), width)
    lines += _standing_lines(triage, book, width)
    lines += ["", f"If the fault is back:  proveout reopen {shlex.quote(case)} --reason TEXT"]
    return "\n".join(lines)


def triage_text(triage: Triage, book: Book, width: int = 80, display: str = AS_WRITTEN) -> str:
    """Return the triage as text of at most ``width`` columns where words allow it, units by preference."""
    lines = [*driving_lines(triage, book, width), headline(triage, book)]
    for reason in reasons(triage, book, display):
        lines += wrapped(reason, width, "  ")
    lines += _remedy_lines(triage, book, width)
    if triage.next:
        lines += _next_lines(triage.next, book, width)
    lines += _standing_lines(triage, book, width)
    if triage.others:
        lines += ["", "Also worth doing"]
        for other in triage.others:
            lines.append(f"  {book.inspections[other.inspection].title} ({minutes(other.minutes)})")
    if triage.tool:
        tool = book.words.tools[triage.tool.tool].title
        price, saving = money(triage.tool.price), money(triage.tool.saving)
        said = f"{tool} (about {price}) would save about {saving} here."
        lines += ["", *wrapped(said, width)]
    for note in notes(triage.sheet, display):
        lines += ["", *wrapped(f"Note: {note}", width)]
    if triage.sheet.unmatched:
        lines += ["", *wrapped("Not understood: " + "; ".join(triage.sheet.unmatched), width)]
    return "\n".join(lines)
