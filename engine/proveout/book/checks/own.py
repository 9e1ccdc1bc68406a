"""Checks of the own figures of certain vehicles: that they can stand in for the limits of an inspection."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import inf

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.atom import FACT
from proveout.model.problem import BadInputError, Problem


def own_limits(draft: Draft) -> Iterator[Problem]:
    """Refuse limits that cannot be read, or for an inspection without limits of its own."""
    from proveout.measure.own import with_own_limits

    for name, figures in draft.own_figures.items():
        inspection = draft.inspections.get(figures.inspection)
        if inspection is None:
            continue
        place = draft.place("own-figures", name, "limits")
        if inspection.reading is None or inspection.reading.series:
            saw = f"own limits for {inspection.id}"
            yield Problem(place, "no-limits", saw, "an inspection with limits", "name another inspection")
            continue
        known = {band.result for band in inspection.reading.bands}
        for result, text in figures.limits.items():
            at = draft.place("own-figures", name, "limits", result)
            if result not in {r.id for r in inspection.results}:
                continue
            if result not in known:
                saw = f"limits for '{result}', for which {inspection.id} has none"
                yield Problem(at, "no-limits", saw, f"one of {', '.join(sorted(known))}", "name another")
                continue
            try:
                with_own_limits(inspection.reading, {result: text}, figures.reference, at)
            except BadInputError as error:
                yield from error.problems


def without_unit(draft: Draft) -> Iterator[Problem]:
    """Complain of limits without a unit: they would silently be taken in the book's."""
    for name, figures in draft.own_figures.items():
        inspection = draft.inspections.get(figures.inspection)
        spec = inspection.reading if inspection else None
        if spec is None or spec.quantity == "count":
            continue
        for result, text in figures.limits.items():
            if not re.search(r"[^\W\d_]|[%°]", re.sub(r"\d[eE][+-]?\d", "", text)):
                place = draft.place("own-figures", name, "limits", result)
                mend = f"write it: {text} {spec.unit}, if that is meant"
                yield Problem(
                    place, "own-figures-unit", f"the limits `{text}` without a unit", "a unit", mend
                )


def overlapping(draft: Draft) -> Iterator[Problem]:
    """Complain of limits of two results that share values: only the first of them would count there."""
    from proveout.measure.own import read_limits

    for name, figures in draft.own_figures.items():
        inspection = draft.inspections.get(figures.inspection)
        spec = inspection.reading if inspection else None
        if spec is None:
            continue
        spans = []
        for result, text in figures.limits.items():
            low, high = read_limits(text, spec.quantity, spec.unit, spec.relative_to)
            spans.append((-inf if low is None else low, inf if high is None else high, result))
        for (_, end, result), (start, _, other) in pairwise(sorted(spans)):
            if start < end:
                place = draft.place("own-figures", name, "limits", other)
                saw = f"limits for '{other}' that share values with those for '{result}'"
                mend = "let one end where the other begins"
                yield Problem(place, "own-figures-overlap", saw, "one result for each value", mend)


def vehicle_facts(draft: Draft) -> Iterator[Problem]:
    """Refuse own figures that hang on anything but facts of the vehicle."""
    for name, figures in draft.own_figures.items():
        for atom in sorted(figures.when.atoms):
            if atom.kind != FACT or not atom.key.startswith("vehicle."):
                place = draft.place("own-figures", name, "when")
                mend = "what a case shows belongs into rules"
                yield Problem(place, "own-figures-when", f"'{atom}'", "facts of the vehicle only", mend)


def same_vehicles(draft: Draft) -> Iterator[Problem]:
    """Refuse two entries of one layer for the same inspection and vehicles: only one could count."""
    first: dict[tuple[object, ...], str] = {}
    for name, figures in draft.own_figures.items():
        other = first.setdefault((figures.inspection, figures.layer, figures.when), name)
        if other != name:
            place = draft.place("own-figures", name)
            saw = f"'{name}' for the same inspection and vehicles as '{other}'"
            yield Problem(place, "own-figures-twice", saw, "one entry", "join the two")


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "no-limits": Page(
        "Own figures take the place of limits, and this inspection has none.",
        "inspection: hose-look",
        "inspection: valve-holds-vacuum",
    ),
    "own-figures-twice": Page(
        "Two entries of one layer hold for the same inspection and the same vehicles: which counts?",
        "two entries for one engine",
        "one entry",
    ),
    "own-figures-when": Page(
        "Own figures hold for vehicles, not for complaints: only facts of the vehicle may stand here.",
        "when: {code: P0442}",
        "when: {fact: vehicle.engine, is: 2.0 petrol}",
    ),
    "own-figures-unit": Page(
        "A figure without a unit is taken in the unit of the inspection, which may not be the one of "
        "your sheet.",
        "limits: {holds: ..-15}",
        "limits: {holds: ..-15 inHg}",
    ),
    "own-figures-overlap": Page(
        "Two results hold for the same values; the first one that fits wins, which may not be meant.",
        "limits: {good: 1..5, poor: 4..9}",
        "limits: {good: 1..5, poor: 5..9}",
    ),
}
