"""How an inspection is done, as text: cautions always stand before the steps."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.measure.both import with_signs
from proveout.measure.display import Scale, scale_of, unit_sign
from proveout.measure.own import Replaced
from proveout.model.book import Book
from proveout.model.entries import Inspection
from proveout.model.preference import AS_WRITTEN
from proveout.model.specs import Band, ReadingSpec
from proveout.model.vehicle import only_for
from proveout.show.cautions import caution_lines, limit_sources
from proveout.show.figures import minutes, wrapped
from proveout.show.glossary import words_line
from proveout.show.page import DIM, HEAD, WARN, Page
from proveout.show.pictures import CURVE, LEADS, WHERE, Drawn, pictures_of

#: Said on every page that tells somebody to touch a vehicle.
DEFERENCE = (
    "The vehicle maker's procedure and figures, local codes and licensed practice come first; "
    "limits given here are typical."
)


def band_text(band: Band, scale: Scale) -> str:
    """Return a limit in words, such as ``-53 to -45 kPa``."""
    if band.low is None and band.high is None:
        return "anything else"
    if band.low is not None and band.high is not None:
        return f"{scale.number(band.low)} to {scale.number(band.high)} {scale.symbol}".rstrip()
    edge = band.high if band.low is None else band.low
    word = "or less" if band.low is None else "or more"
    return f"{scale.number(edge or 0.0)} {f'{scale.symbol} {word}'.lstrip()}"


def series_lines(spec: ReadingSpec, scale: Scale, width: int) -> list[str]:
    """Return what is expected of a series of readings; nothing where the reading is a single value."""
    series = spec.series
    if series is None:
        return []
    unit = scale.symbol
    ends = [scale.number(end) for end in series.start or ()]
    start = f", starting at {' to '.join(ends)} {unit}" if ends else ""
    said = (
        f"at least {series.at_least} pairs of {series.stimulus_quantity} "
        f"({unit_sign(series.stimulus_unit)}) and "
        f"{spec.quantity} ({unit}){start}; the {spec.quantity} {series.direction} by "
        f"{scale.difference(series.span, 4)} {unit} or more, repeats within "
        f"{scale.difference(series.repeat, 4)} {unit}"
    )
    return wrapped(said, width, "  expect  ", "          ")


def _limit_lines(spec: ReadingSpec, own: Replaced | None, width: int, display: str) -> list[str]:
    """Return the limits that hold, beside the vehicle's own ones the generic ones that they replace."""
    scale = scale_of(spec, display)
    moved = {new: old for old, new in own.moved if new} if own else {}
    held = own.spec if own else spec
    lines = series_lines(spec, scale, width)
    for band in held.bands:
        generic = f" (generic {band_text(moved[band], scale)})" if band in moved else ""
        lines.append(f"  {band.result:<14} {band_text(band, scale)}{generic}")
    return [*lines, *wrapped(f"Limits: {held.limits_source}.", width, "  ")]


def derived_lines(spec: ReadingSpec, width: int) -> list[str]:
    """Say which figure a reading yields besides, and what must or may be stated with it."""
    if spec.derived is None:
        return []
    from proveout.measure.compute import find_formula

    formula = find_formula(spec.derived.formula)
    due = [formula.parameter(name) for name in spec.derived.stated]
    said = f"Gives besides: {formula.title}, in {unit_sign(formula.results[0].unit)}"
    if due:
        said += (
            ", where you record it with "
            + " ".join(f'--under "{p.name} … {p.unit}"' for p in due)
            + f" ({', '.join(p.meaning for p in due)})"
        )
    if spec.derived.given:
        taken = ", ".join(f"{name} {text}" for name, text in spec.derived.given.items())
        said += f". Taken where not stated likewise: {with_signs(taken)}"
    return wrapped(f"{said}. {spec.derived.note}", width, "  ")


def steps_page(
    book: Book,
    inspection: Inspection,
    width: int = 80,
    display: str = AS_WRITTEN,
    own: Replaced | None = None,
    has: Iterable[str] = (),
) -> Page:
    """Return how an inspection is done: cautions, tools, leads, steps, limits, results, traps, place, source.

    Args:
        book: gives the words.
        inspection: what is to be done.
        width: columns.
        display: preference for the units of the limits; the book's prose stays as it is.
        own: the vehicle's own limits, where they are known.
        has: kinds of the vehicle, such as ``diesel``, where they are known.
    """
    page = Page(width)
    drawn = {d.of: d for d in pictures_of(book, inspection, has, own.spec if own else None, display)}
    page.wrap(inspection.title, role=HEAD)
    before_lines(page, book, inspection)
    picture_lines(page, drawn.get(LEADS), "")
    page.line()
    page.line((HEAD, "Steps"))
    for number, step in enumerate(inspection.steps, start=1):
        page.wrap(step, f"  {number}. ")
    limit_page(page, inspection, display, own)
    picture_lines(page, drawn.get(CURVE), "")
    result_lines(page, inspection)
    picture_lines(page, drawn.get(WHERE), "Where it is")
    if inspection.source:
        page.line()
        page.wrap(f"Source: {inspection.source}.", role=DIM)
    if limits := limit_sources(inspection):
        page.wrap(f"Source of what must not be exceeded: {limits}.", role=DIM)
    explained = words_line(book, prose_of(inspection))
    if explained:
        page.wrap(explained, role=DIM)
    return page


def picture_lines(page: Page, drawn: Drawn | None, head: str) -> None:
    """Add a picture in plain characters, its words below it; nothing where there is none."""
    if drawn is None:
        return
    page.line()
    if head:
        page.line((HEAD, head))
    page.lay(f"  {line}".rstrip() for line in drawn.lines)
    page.wrap(drawn.words, "  ", role=DIM)


def prose_of(inspection: Inspection) -> list[str]:
    """Return what somebody reads who does an inspection."""
    return [
        inspection.title,
        inspection.leads,
        inspection.damage_limit,
        *inspection.steps,
        *inspection.false_readings,
        *(result.means for result in inspection.results),
    ]


def limit_page(page: Page, inspection: Inspection, display: str, own: Replaced | None) -> None:
    """Add the limits of an inspection with a reading, and the figure that it yields."""
    if inspection.reading:
        page.line()
        page.line((HEAD, "Limits"))
        page.lay(_limit_lines(inspection.reading, own, page.width, display))
        page.lay(derived_lines(inspection.reading, page.width))


def before_lines(page: Page, book: Book, inspection: Inspection) -> None:
    """Add what comes before the steps: cautions whole, tools, place, time, leads."""
    tools = ", ".join(book.words.tools[tool].title for tool in inspection.tools)
    access = ", ".join(book.words.access[key].title for key in inspection.access)
    page.line()
    page.line((HEAD, "Before you start"))
    page.lay(caution_lines(book, inspection, page.width), WARN)
    page.wrap(DEFERENCE, "  ! ", "    ", WARN)
    page.line()
    page.wrap(tools or "nothing beyond the basics", "You need: ")
    page.wrap(access or "nothing to open", "Where: ")
    page.line(("", f"Time: {minutes(inspection.minutes)}"))
    kinds = only_for(inspection.fits, inspection.not_for)
    if kinds:
        page.wrap(kinds, "Vehicles: ")
    if inspection.leads:
        page.wrap(inspection.leads, "Leads: ", "       ")


def result_lines(page: Page, inspection: Inspection) -> None:
    """Add what each result means, and how the inspection can mislead."""
    page.line()
    page.line((HEAD, "What the result means"))
    for result in inspection.results:
        page.wrap(f"{result.id}: {result.means}", "  ", "      ")
    if inspection.false_readings:
        page.line()
        page.line((HEAD, "How it can mislead"))
        for trap in inspection.false_readings:
            page.wrap(trap, "  - ", "    ")
