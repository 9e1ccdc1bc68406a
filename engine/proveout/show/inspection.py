"""How an inspection is done, as text: cautions always stand before the steps."""

from __future__ import annotations

from proveout.measure.display import Scale, scale_of
from proveout.measure.own import Replaced
from proveout.model.book import Book
from proveout.model.entries import Band, Inspection, ReadingSpec
from proveout.model.preference import AS_WRITTEN
from proveout.show.cautions import caution_lines
from proveout.show.figures import minutes, wrapped

#: Said on every page that tells somebody to touch a vehicle.
DEFERENCE = (
    "The vehicle maker's procedure and figures, local codes and licensed practice come first; "
    "limits given here are typical."
)


#: Lines of a printed page, and the most columns that it holds in a small type.
_PAGE, _WIDEST = 66, 100


def band_text(band: Band, scale: Scale) -> str:
    """Give a limit in words, such as ``-53 to -45 kPa``."""
    if band.low is None and band.high is None:
        return "anything else"
    if band.low is not None and band.high is not None:
        return f"{scale.number(band.low)} to {scale.number(band.high)} {scale.symbol}".rstrip()
    edge = band.high if band.low is None else band.low
    word = "or less" if band.low is None else "or more"
    return f"{scale.number(edge or 0.0)} {f'{scale.symbol} {word}'.lstrip()}"


def _series_lines(spec: ReadingSpec, scale: Scale, width: int) -> list[str]:
    series = spec.series
    if series is None:
        return []
    unit = scale.symbol
    ends = [scale.number(end) for end in series.start or ()]
    start = f", starting at {' to '.join(ends)} {unit}" if ends else ""
    said = (
        f"at least {series.at_least} pairs of {series.stimulus_quantity} ({series.stimulus_unit}) and "
        f"{spec.quantity} ({unit}){start}; the {spec.quantity} {series.direction} by "
        f"{scale.difference(series.span, 4)} {unit} or more, repeats within "
        f"{scale.difference(series.repeat, 4)} {unit}"
    )
    return wrapped(said, width, "  expect  ", "          ")


def _limit_lines(spec: ReadingSpec, own: Replaced | None, width: int, display: str) -> list[str]:
    """Give the limits that hold, beside the vehicle's own ones the generic ones that they replace."""
    scale = scale_of(spec, display)
    moved = {new: old for old, new in own.moved if new} if own else {}
    held = own.spec if own else spec
    lines = _series_lines(spec, scale, width)
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
    said = f"Gives besides: {formula.title}, in {formula.results[0].unit}"
    if due:
        said += (
            ", where you record it with "
            + " ".join(f'--under "{p.name} … {p.unit}"' for p in due)
            + f" ({', '.join(p.meaning for p in due)})"
        )
    if spec.derived.given:
        taken = ", ".join(f"{name} {text}" for name, text in spec.derived.given.items())
        said += f". Taken where not stated likewise: {taken}"
    return wrapped(f"{said}. {spec.derived.note}", width, "  ")


def steps_text(
    book: Book,
    inspection: Inspection,
    width: int = 80,
    display: str = AS_WRITTEN,
    own: Replaced | None = None,
) -> str:
    """Give one page: cautions, tools, where the leads go, steps, limits, results, false readings, source.

    Where it is longer than a printed page, it is set wider, up to 100 columns.

    Args:
        book: gives the words.
        inspection: what is to be done.
        width: columns.
        display: preference for the units of the limits; the book's prose stays as it is.
        own: the vehicle's own limits, where they are known.
    """
    lines = _page(book, inspection, width, display, own)
    if len(lines) > _PAGE and width < _WIDEST:
        lines = _page(book, inspection, _WIDEST, display, own)
    return "\n".join(lines)


def _page(book: Book, inspection: Inspection, width: int, display: str, own: Replaced | None) -> list[str]:
    """Give the lines of the page."""
    tools = (
        ", ".join(book.words.tools[tool].title for tool in inspection.tools) or "nothing beyond the basics"
    )
    access = ", ".join(book.words.access[key].title for key in inspection.access) or "nothing to open"
    lines = [inspection.title, "", "Before you start"]
    lines += caution_lines(book, inspection, width)
    lines += wrapped(DEFERENCE, width, "  ! ", "    ")
    lines += ["", *wrapped(tools, width, "You need: "), *wrapped(access, width, "Where: ")]
    lines.append(f"Time: {minutes(inspection.minutes)}")
    if inspection.leads:
        lines += wrapped(inspection.leads, width, "Leads: ", "       ")
    lines += ["", "Steps"]
    for number, step in enumerate(inspection.steps, start=1):
        lines += wrapped(step, width, f"  {number}. ")
    if inspection.reading:
        lines += ["", "Limits", *_limit_lines(inspection.reading, own, width, display)]
        lines += derived_lines(inspection.reading, width)
    lines += ["", "What the result means"]
    for result in inspection.results:
        lines += wrapped(f"{result.id}: {result.means}", width, "  ", "      ")
    if inspection.false_readings:
        lines += ["", "How it can mislead"]
        for trap in inspection.false_readings:
            lines += wrapped(trap, width, "  - ", "    ")
    if inspection.source:
        lines += ["", *wrapped(f"Source: {inspection.source}.", width)]
    return lines
