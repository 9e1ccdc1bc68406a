"""Checks of readings: limits that leave no gap and can be met."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from msgspec.structs import replace

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.entries import Inspection
from proveout.model.problem import Problem
from proveout.model.specs import Band, ReadingSpec


def limits(draft: Draft) -> Iterator[Problem]:
    """Refuse limits with a gap, out of reach, or with more than one ``otherwise``."""
    for inspection in draft.inspections.values():
        spec = inspection.reading
        if spec and spec.bands:
            yield from _gap(inspection, spec)
            yield from _out_of_reach(spec)


def relative_to(draft: Draft) -> Iterator[Problem]:
    """Refuse a pressure that does not say against what it is measured, and anything else that does."""
    for name, _, quantity, against, path in _measured(draft):
        if (quantity == "pressure") != bool(against):
            saw = f"{quantity} " + ("with" if against else "without") + " 'relative_to'"
            mend = "say atmosphere or vacuum" if quantity == "pressure" else "remove it"
            place = draft.place("inspections", name, *path)
            yield Problem(place, "relative-to", saw, "'relative_to' for pressure only", mend)


def unit(draft: Draft) -> Iterator[Problem]:
    """Refuse a unit that nobody knows, or that measures something else."""
    from proveout.measure.units import UnitError, find_unit

    for name, text, quantity, _, path in _measured(draft):
        try:
            find_unit(text, quantity)
        except UnitError as error:
            place = draft.place("inspections", name, *path, "unit")
            mend = error.mend or "take one of these units"
            yield Problem(place, error.check, error.saw, error.expected, mend)


def _measured(draft: Draft) -> Iterator[tuple[str, str, str, str, tuple[str, ...]]]:
    """Return inspection, unit, quantity, reference and path of everything read or applied."""
    for name, inspection in draft.inspections.items():
        spec = inspection.reading
        if spec is None:
            continue
        yield name, spec.unit, spec.quantity, spec.relative_to, ("reading",)
        if spec.series:
            applied = spec.series
            path = ("reading", "series", "stimulus")
            yield name, applied.stimulus_unit, applied.stimulus_quantity, applied.stimulus_relative_to, path


def overlapping(draft: Draft) -> Iterator[Problem]:
    """Complain of a limit that reaches into one before it, which takes the values that they share."""
    for inspection in draft.inspections.values():
        bands = (
            [band for band in inspection.reading.bands if not _is_otherwise(band)]
            if inspection.reading
            else []
        )
        for n, band in enumerate(bands):
            start, end = _ends(band)
            before = next((b for b in bands[:n] if start < _ends(b)[1] and _ends(b)[0] < end), None)
            if before is not None:
                saw = f"the limit for '{band.result}' shares values with that for '{before.result}' before it"
                mend = "let one end where the other begins"
                yield Problem(band.place, "limits-overlap", saw, "one result for each value", mend)


def series_ends(draft: Draft) -> Iterator[Problem]:
    """Refuse a series that tells stuck-low or stuck-high apart without saying where they begin."""
    for name, inspection in draft.inspections.items():
        spec = inspection.reading.series if inspection.reading else None
        if spec is None:
            continue
        place = draft.place("inspections", name, "reading", "series")
        for kind, end, key in (
            ("stuck-low", spec.low_end, "low_end"),
            ("stuck-high", spec.high_end, "high_end"),
        ):
            if kind in spec.classes and end is None:
                saw = f"the class '{kind}' without '{key}'"
                yield Problem(place, "series-ends", saw, key, "say from where on it counts")
        if spec.low_end is not None and spec.high_end is not None and spec.low_end >= spec.high_end:
            saw = f"low_end {spec.low_end:g} not below high_end {spec.high_end:g}"
            yield Problem(place, "series-ends", saw, "low_end below high_end", "swap them")


def derived(draft: Draft) -> Iterator[Problem]:
    """Refuse a derived figure of an unknown formula, or with inputs that are missing or do not fit."""
    from proveout.measure.derived import faults

    for name, inspection in draft.inspections.items():
        spec = inspection.reading
        if spec is None or spec.derived is None:
            continue
        for key, problem in faults(spec, spec.derived):
            path = {"": (), "formula": ("formula",)}.get(key, ("inputs", key))
            place = draft.place("inspections", name, "reading", "derived", *path)
            yield replace(problem, place=place)


def _gap(inspection: Inspection, spec: ReadingSpec) -> Iterator[Problem]:
    """Complain of values that no limit covers, or of two catch-alls."""
    spare = [band for band in spec.bands if _is_otherwise(band)]
    if len(spare) > 1:
        saw = "'otherwise' for more than one result"
        yield Problem(spare[1].place, "limits-otherwise", saw, "once", "give the others limits of their own")
    if spare:
        return
    low, high = spec.possible
    at = -inf if low is None else low
    for start, end in sorted(_ends(band) for band in spec.bands):
        if start > at:
            break
        at = max(at, end)
    if at < (inf if high is None else high):
        saw = f"limits of {inspection.id} that say nothing of values above {at:g} {spec.unit}"
        mend = "add 'otherwise' for one result, or close the gap"
        yield Problem(spec.bands[0].place, "limits-gap", saw, "limits for every possible value", mend)


def _out_of_reach(spec: ReadingSpec) -> Iterator[Problem]:
    """Complain of a limit that no possible value can meet."""
    low, high = spec.possible
    for band in spec.bands:
        start, end = _ends(band)
        if (low is not None and end < low) or (high is not None and start > high):
            saw = f"the limit for '{band.result}' outside what is possible"
            yield Problem(band.place, "limits-reach", saw, "a limit within 'possible'", "mend one of the two")


def _is_otherwise(band: Band) -> bool:
    return band.low is None and band.high is None


def _ends(band: Band) -> tuple[float, float]:
    return (-inf if band.low is None else band.low, inf if band.high is None else band.high)


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "limits-gap": Page(
        "Some readings would belong to no result.",
        "limits: {low: ..1, good: 2..5}",
        "limits: {low: ..1, good: 1..5, high: otherwise}",
    ),
    "limits-overlap": Page(
        "The first limit that fits wins, so that the values shared never belong to the later one.",
        "limits: {good: 1..5, high: 4..9, off: otherwise}",
        "limits: {good: 1..5, high: 5..9, off: otherwise}",
    ),
    "limits-otherwise": Page(
        "One result takes what no other takes: 'otherwise' stands once.",
        "limits: {a: otherwise, b: otherwise}",
        "limits: {a: ..1, b: otherwise}",
    ),
    "limits-reach": Page(
        "No possible reading belongs to this result.",
        "possible: 0..5, limits: {high: 6.., good: otherwise}",
        "limits: {high: 4.5.., good: otherwise}",
    ),
    "relative-to": Page(
        "A pressure is meant against the air outside (a gauge) or against vacuum (absolute); without "
        "that 30 kPa is either.",
        "quantity: pressure, unit: kPa",
        "quantity: pressure, unit: kPa, relative_to: atmosphere",
    ),
    "series-ends": Page(
        "The ends of a series must fit what can be read, low below high.",
        "low_end: 4.5, high_end: 0.5",
        "low_end: 0.5, high_end: 4.5",
    ),
}
