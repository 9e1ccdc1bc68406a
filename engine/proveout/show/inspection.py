"""How an inspection is done, as text: cautions always stand before the steps."""

from __future__ import annotations

from proveout.model.book import Book
from proveout.model.entries import Band, Inspection, ReadingSpec, Remedy
from proveout.show.figures import minutes, money, wrapped

#: Said on every page that tells somebody to touch a vehicle.
DEFERENCE = (
    "The vehicle maker's procedure and figures, local codes and licensed practice come first; "
    "limits given here are typical."
)


def caution_lines(book: Book, inspection: Inspection, width: int) -> list[str]:
    """Give every caution of an inspection and of the places that it opens, and its damage limit."""
    ids = dict.fromkeys(inspection.cautions)
    for access in inspection.access:
        ids.update(dict.fromkeys(book.words.access[access].cautions))
    lines = [
        line
        for caution in (book.words.cautions[key] for key in ids)
        for line in wrapped(f"{caution.title}: {caution.text}", width, "  ! ", "    ")
    ]
    if inspection.damage_limit:
        lines += wrapped(f"Do not exceed: {inspection.damage_limit}", width, "  ! ", "    ")
    return lines


def band_text(band: Band, unit: str) -> str:
    """Give a limit in words, such as ``-53 to -45 kPa``."""
    if band.low is None and band.high is None:
        return "anything else"
    if band.low is None:
        return f"{band.high:g} {unit} or less"
    if band.high is None:
        return f"{band.low:g} {unit} or more"
    return f"{band.low:g} to {band.high:g} {unit}"


def _limit_lines(spec: ReadingSpec, width: int) -> list[str]:
    if spec.series:
        series = spec.series
        unit = spec.unit
        start = f", starting at {series.start[0]:g} to {series.start[1]:g} {unit}" if series.start else ""
        said = (
            f"at least {series.at_least} pairs of {series.stimulus_quantity} ({series.stimulus_unit}) and "
            f"{spec.quantity} ({unit}){start}; the {spec.quantity} {series.direction} by {series.span:g} "
            f"{unit} or more, repeats within {series.repeat:g} {unit}"
        )
        lines = wrapped(said, width, "  expect  ", "          ")
    else:
        lines = [f"  {band.result:<14} {band_text(band, spec.unit)}" for band in spec.bands]
    return [*lines, *wrapped(f"Limits: {spec.limits_source}.", width, "  ")] if spec.limits_source else lines


def steps_text(book: Book, inspection: Inspection, width: int = 80) -> str:
    """Give one page: cautions, tools, where the leads go, steps, limits, results, false readings, source."""
    tools = (
        ", ".join(book.words.tools[tool].title for tool in inspection.tools) or "nothing beyond the basics"
    )
    access = ", ".join(book.words.access[key].title for key in inspection.access) or "nothing to open"
    lines = [inspection.title, "", "Before you start"]
    lines += caution_lines(book, inspection, width)
    lines += wrapped(DEFERENCE, width, "  ! ", "    ")
    lines += ["", f"You need: {tools}", f"Where: {access}", f"Time: {minutes(inspection.minutes)}"]
    if inspection.leads:
        lines += wrapped(inspection.leads, width, "Leads: ", "       ")
    lines += ["", "Steps"]
    for number, step in enumerate(inspection.steps, start=1):
        lines += wrapped(step, width, f"  {number}. ")
    if inspection.reading:
        lines += ["", "Limits", *_limit_lines(inspection.reading, width)]
    lines += ["", "What the result means"]
    for result in inspection.results:
        lines += wrapped(f"{result.id}: {result.means}", width, "  ", "      ")
    if inspection.false_readings:
        lines += ["", "How it can mislead"]
        for trap in inspection.false_readings:
            lines += wrapped(trap, width, "  - ", "    ")
    if inspection.source:
        lines += ["", *wrapped(f"Source: {inspection.source}.", width)]
    return "\n".join(lines)


def remedy_lines(book: Book, remedy: Remedy, width: int) -> list[str]:
    """Give what mends a cause: cautions first, then the action, its cost and notes."""
    lines = [
        line
        for caution in (book.words.cautions[key] for key in remedy.cautions)
        for line in wrapped(f"{caution.title}: {caution.text}", width, "  ! ", "    ")
    ]
    what = f"{remedy.action.replace('-', ' ')}{f': {remedy.part}' if remedy.part else ''}"
    cost = ""
    if remedy.part_cost.high:
        cost = f", part about {money(remedy.part_cost.low)} to {money(remedy.part_cost.high)}"
    lines += wrapped(f"{what} ({minutes(remedy.minutes)}{cost})", width, "  ")
    for note in remedy.notes:
        lines += wrapped(note, width, "  - ", "    ")
    return lines
