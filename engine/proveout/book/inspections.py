"""Inspections out of nodes."""

from __future__ import annotations

from proveout.book.conditions import word
from proveout.book.entry import RawEntry
from proveout.book.fields import ends, inner, maybe_number, money, number, texts
from proveout.book.remembered import remembered_with_problems
from proveout.book.safety_limits import limits_of
from proveout.book.state import build_state
from proveout.model.entries import Inspection, Result
from proveout.model.problem import Problem
from proveout.model.specs import Band, DerivedSpec, ReadingSpec, SeriesSpec
from proveout.text.node import Listing, Mapping, Node, Scalar


@remembered_with_problems
def build_inspection(entry: RawEntry, problems: list[Problem], shared: tuple[RawEntry, ...]) -> Inspection:
    """Build an inspection; ``shared`` are the safety limits that many have."""
    node = entry.node
    proves = inner(node, "proves")
    return Inspection(
        id=entry.id,
        title=word(node, "title"),
        kind=word(node, "kind"),
        proves={key.name: texts(proves, key.name) for key, _ in proves},
        results=tuple(_result(key.name, value) for key, value in inner(node, "results")),
        minutes=number(node, "minutes"),
        tools=texts(node, "tools"),
        access=texts(node, "access"),
        consumables=money(node, "consumables", problems),
        reading=_reading(inner(node, "reading"), problems) if "reading" in node else None,
        after=texts(node, "after"),
        cautions=texts(node, "cautions"),
        safety_limits=limits_of(node, shared),
        steps=texts(node, "steps"),
        leads=word(node, "leads"),
        false_readings=texts(node, "false_readings"),
        source=word(node, "source"),
        state=build_state(inner(node, "state")) if "state" in node else None,
        fits=texts(node, "fits"),
        not_for=texts(node, "not_for"),
        words=texts(node, "words"),
        place=entry.place,
        layer=entry.layer,
        brings_on=texts(node, "brings_on"),
    )


def _result(name: str, node: Node) -> Result:
    """Build one result."""
    says = word(node, "is") if isinstance(node, Mapping) else ""
    return Result(name, says == "normal", word(node, "means") if isinstance(node, Mapping) else "")


def _reading(node: Mapping, problems: list[Problem]) -> ReadingSpec:
    """Build what is read."""
    return ReadingSpec(
        quantity=word(node, "quantity"),
        unit=word(node, "unit"),
        relative_to=word(node, "relative_to"),
        bands=_bands(inner(node, "limits"), problems),
        possible=ends(node.get("possible"), problems),
        series=_series(inner(node, "series"), problems) if "series" in node else None,
        limits_source=word(node, "limits_source"),
        supply=maybe_number(node, "supply"),
        derived=_derived(inner(node, "derived")) if "derived" in node else None,
    )


def _derived(node: Mapping) -> DerivedSpec:
    """Build what is computed from the reading."""
    inputs = {key.name: word(inner(node, "inputs"), key.name) for key, _ in inner(node, "inputs")}
    reading = next((name for name, text in inputs.items() if text == "reading"), "")
    return DerivedSpec(
        formula=word(node, "formula"),
        reading=reading,
        given={name: text for name, text in inputs.items() if name != reading and text != "stated"},
        stated=tuple(name for name, text in inputs.items() if text == "stated"),
        note=word(node, "note"),
    )


def _bands(node: Mapping, problems: list[Problem]) -> tuple[Band, ...]:
    """Build the limits in their order, ``otherwise`` last."""
    found, last = [], []
    for key, value in node:
        for part in value.items if isinstance(value, Listing) else (value,):
            if isinstance(part, Scalar) and part.text == "otherwise":
                last.append(Band(key.name, place=part.place))
            else:
                found.append(Band(key.name, *ends(part, problems), place=part.place))
    return tuple(found + last)


def _series(node: Mapping, problems: list[Problem]) -> SeriesSpec:
    """Build how a series is judged."""
    stimulus, classes = inner(node, "stimulus"), inner(node, "classes")
    low, high = ends(node.get("start"), problems)
    return SeriesSpec(
        stimulus_quantity=word(stimulus, "quantity"),
        stimulus_unit=word(stimulus, "unit"),
        stimulus_relative_to=word(stimulus, "relative_to"),
        at_least=int(number(node, "at_least")),
        direction=word(node, "direction"),
        span=number(node, "span"),
        noise=number(node, "noise"),
        repeat=number(node, "repeat"),
        classes={key.name: word(classes, key.name) for key, _ in classes},
        start=None if low is None or high is None else (low, high),
        low_end=maybe_number(node, "low_end"),
        high_end=maybe_number(node, "high_end"),
        law=word(node, "law") or "line",
    )
