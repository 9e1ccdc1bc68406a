"""A case walked step by step, as text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from proveout.app.walking import Step
from proveout.model.book import Book
from proveout.show.figures import cause_title, minutes, percent, wrapped
from proveout.show.triage import triage_text

_SHOWN = 3


def opening_text(document: Mapping[str, Any], book: Book, width: int) -> str:
    """Return the story and the complaint that a walk begins with."""
    lines = [str(document.get("title", "A case")), ""]
    lines += wrapped(str(document.get("story", "")), width)
    codes = [item if isinstance(item, str) else item["code"] for item in document.get("codes", ())]
    for code in codes:
        meaning = book.words.codes[code].meaning if code in book.words.codes else "not in the catalogue"
        lines += wrapped(f"{code}: {meaning}", width, "  ", "         ")
    return "\n".join([*lines, ""])


def _reading_text(reading: Mapping[str, Any]) -> str:
    if "series" in reading:
        return ", ".join(f"{stimulus} gives {response}" for stimulus, response in reading["series"])
    return str(reading.get("value") or reading.get("result"))


def step_text(step: Step, book: Book, width: int) -> str:
    """Return one step: the leading causes, what is inspected and what is found; or the final triage."""
    if step.reading is None or step.answer.next is None:
        return "\n".join(["=" * width, triage_text(step.answer, book, width)])
    lines = ["Most likely now:"]
    lines += [
        f"  {percent(hypothesis.confidence):>6}  {cause_title(book, hypothesis.cause)}"
        for hypothesis in step.answer.hypotheses[:_SHOWN]
    ]
    inspection = book.inspections[step.answer.next.inspection]
    lines += wrapped(
        f"{inspection.title} ({minutes(step.answer.next.minutes)}): {_reading_text(step.reading)}",
        width,
        "Inspected once more: " if step.answer.next.again else "Inspected: ",
    )
    return "\n".join([*lines, ""])
