"""A triage as text for the terminal: verdict first, then what to do next, then how the causes stand."""

from __future__ import annotations

import shlex
from collections.abc import Mapping
from typing import Any

from proveout.intake.telling import notes
from proveout.model.advice import INSPECT, MEND, NONE, REFER, REPAIR, WATCH, Hypothesis, Next, Triage
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.model.presence import WAYS
from proveout.record.documents import reasons
from proveout.show.cautions import caution_lines, remedy_lines
from proveout.show.deeds import ending_text
from proveout.show.driving import driving_lines
from proveout.show.figures import cause_title, minutes, money, percent, shortened, wrapped
from proveout.text.lowered import lowered
from proveout.text.unhyphened import unhyphened

_HEADLINES = {
    INSPECT: "Nothing is proven yet: inspect further",
    REPAIR: "Proven",
    REFER: "Refer this out",
    NONE: "Nothing found that needs mending",
    MEND: "Not proven, but plainly broken: mend it and watch",
    WATCH: "Mended, watching",
}
_DIRECT = {"failed": "shown directly", "passed": "an inspection did not show it", "none": "not inspected"}
_SHORT = {"failed": "shown", "passed": "not shown", "none": ""}
#: Columns from which the note on a cause is written out.
_NOTED = 60
_SHOWN_CAUSES = 8


def headline(triage: Triage, book: Book) -> str:
    """Return the verdict in one line."""
    verdict = triage.verdict
    said = "Nothing to go on yet" if triage.is_blank else _HEADLINES[verdict.kind]
    if verdict.kind == NONE and any(one.cause == verdict.cause for one in triage.sheet.mended):
        said = "Mended, and it has stayed away"
    return f"{said}: {cause_title(book, verdict.cause)}" if verdict.cause else said


def without_rules_lines(triage: Triage, width: int) -> list[str]:
    """Say first which codes count for nothing, and where to look instead."""
    lines: list[str] = []
    unmatched = {text.split(":")[0].split(" ")[0]: text for text in triage.sheet.unmatched}
    for one in triage.without_rules:
        why = unmatched.get(one.code, f"{one.code}: no rule of this book weighs it").rstrip(".")
        near = f" The nearest codes with rules: {', '.join(one.nearest)}." if one.nearest else ""
        go = "" if "symptoms" in why else " Go by the symptoms: add what you notice."
        lines += wrapped(f"It counts for nothing here: {why}.{near}{go}", width)
    return [*lines, ""] if lines else []


def _next_lines(step: Next, book: Book, width: int, currency: str) -> list[str]:
    inspection = book.inspections[step.inspection]
    wanted = (book.words.tools[tool] for tool in inspection.tools)
    tools = ", ".join(lowered(tool.title) for tool in wanted if not tool.basic)
    again = ", once more" if step.again else ""
    lines = ["", *wrapped(f"Do this next{again}: {inspection.title} ({inspection.id})", width, "", "  ")]
    saves = money(max(step.expected_saving, 0.0), currency)
    lines += wrapped(
        f"{minutes(step.minutes)}, costs about {money(step.cost, currency)}, "
        f"expected to save {saves}; needs {tools or 'only the basics'}",
        width,
        "  ",
    )
    lines += purpose_lines(step, book, width, currency)
    lines += caution_lines(book, inspection, width)
    for outcome in step.outcomes:
        lines += wrapped(
            f"{unhyphened(outcome.result)} ({percent(outcome.probability)}): then most likely "
            f"{lowered(cause_title(book, outcome.leads_to))}",
            width,
            "  ",
            "      ",
        )
    return lines


def purpose_lines(step: Next, book: Book, width: int, currency: str) -> list[str]:
    """Say why an inspection comes now, what it tells apart, and what it is worth by itself."""
    lines = wrapped(step.why, width, "  ") if step.why else []
    if len(step.apart) > 1:
        names = "; ".join(cause_title(book, cause) for cause in step.apart)
        lines += wrapped(f"Tells apart: {names}", width, "  ", "    ")
    lines += bring_on_lines(step, width)
    if step.worth > 0:
        lines += wrapped(f"By itself worth {money(step.worth, currency)} of what going on saves", width, "  ")
    return lines


def bring_on_lines(step: Next, width: int) -> list[str]:
    """Say how to bring the fault on, where a good reading says little while it is away."""
    if not step.bring_on:
        return []
    ways = "; or ".join(WAYS[way] for way in step.bring_on)
    said = f"Bring the fault on for it: {ways}. Then record whether it was there: --fault present or absent"
    return wrapped(
        f"{said}. A good reading while it is away clears hardly anything that comes and goes.",
        width,
        "  ",
        "    ",
    )


def ask_lines(triage: Triage, width: int) -> list[str]:
    """Say what to say about the vehicle, and how."""
    if triage.ask is None:
        return []
    kinds = " or ".join(f"--{how} {kind}" for kind in triage.ask.kinds for how in ("has", "lacks"))
    return [
        "",
        *wrapped(f"Say which: {triage.ask.text} {triage.ask.why} (proveout amend CASE {kinds})", width),
    ]


def _hypothesis_line(hypothesis: Hypothesis, book: Book, width: int) -> str:
    room = _room(width)
    title = shortened(cause_title(book, hypothesis.cause), room)
    note = _DIRECT[hypothesis.direct] + (", part already replaced" if hypothesis.replaced else "")
    note += ", mended" if hypothesis.mended else ""
    short = "mended" if hypothesis.mended else _SHORT[hypothesis.direct]
    line = f"  {title:<{room}} {percent(hypothesis.confidence):>6}"
    return f"{line}  {note if width >= _NOTED else short}".rstrip()


def _room(width: int) -> int:
    """Return the columns for a cause's title; narrow pages have a word for the note."""
    return width - 34 if width >= _NOTED else width - 19


def _standing_lines(triage: Triage, book: Book, width: int) -> list[str]:
    if not triage.hypotheses:
        return []
    lines = ["", "How the causes stand"]
    lines += [_hypothesis_line(hypothesis, book, width) for hypothesis in triage.hypotheses[:_SHOWN_CAUSES]]
    hidden = triage.hypotheses[_SHOWN_CAUSES:]
    if hidden:
        lines.append(f"  and {len(hidden)} more, none above {percent(hidden[0].confidence)}")
    room = _room(width)
    lines.append(f"  {'None of these':<{room}} {percent(triage.not_in_book):>6}")
    return lines


def _remedy_lines(triage: Triage, book: Book, width: int) -> list[str]:
    if triage.verdict.kind not in (REPAIR, REFER, MEND) or not triage.verdict.cause:
        return []
    cause = book.causes[triage.verdict.cause]
    lines = ["", "What mends it", *remedy_lines(book, cause.remedy, width, triage.currency)]
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
    lines = [*driving_lines(triage, book, width), *without_rules_lines(triage, width)]
    lines.append(headline(triage, book))
    for reason in reasons(triage, book, display):
        lines += wrapped(reason, width, "  ")
    lines += _remedy_lines(triage, book, width)
    lines += ask_lines(triage, width)
    if triage.next:
        lines += _next_lines(triage.next, book, width, triage.currency)
    lines += _standing_lines(triage, book, width)
    if triage.others:
        lines += ["", "Also worth doing"]
        for other in triage.others:
            lines.append(f"  {book.inspections[other.inspection].title} ({minutes(other.minutes)})")
    if triage.tool:
        tool = book.words.tools[triage.tool.tool].title
        price, saving = (money(one, triage.currency) for one in (triage.tool.price, triage.tool.saving))
        said = f"{tool} (about {price}) would save about {saving} here."
        lines += ["", *wrapped(said, width)]
    for note in notes(triage.sheet, display):
        lines += ["", *wrapped(f"Note: {note}", width)]
    silent = {one.code for one in triage.without_rules}
    unmatched = [text for text in triage.sheet.unmatched if text.split(":")[0].split(" ")[0] not in silent]
    if unmatched:
        lines += ["", *wrapped("Not understood: " + "; ".join(unmatched), width)]
    return "\n".join(lines)
