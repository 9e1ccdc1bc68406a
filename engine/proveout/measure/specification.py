"""Instruments as people state them: data-sheet figures, gauge classes, divisions, or just a name."""

from __future__ import annotations

import re

from msgspec.structs import replace

from proveout.measure.convert import gain
from proveout.measure.instrument import Instrument, basic_meter, vehicle_data
from proveout.measure.number import NumberError, read_number
from proveout.measure.units import UnitError, find_unit
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem

_FIGURES = re.compile(r"[0-9(\u00b1]|(?:class|least|divisions?)\b|u\s*=", re.IGNORECASE)
_N = r"[0-9]+(?:[.,][0-9]+)?"
_PERCENT = re.compile(rf"(?P<n>{_N})\s*%\s*(?:of\s+)?(?:reading|rdg|rd)?", re.IGNORECASE)
_FULL_SCALE = re.compile(
    rf"(?:class\s+(?P<cl>{_N})\s*(?:of|,)?|(?P<n>{_N})\s*%\s*(?:of|fs)\s*)\s*(?P<span>{_N})\s*(?P<unit>\S.*)",
    re.IGNORECASE,
)
_COUNTS = re.compile(
    rf"(?P<n>[0-9]+)\s*(?:counts?|digits?|dgts?|d)?(?:\s*(?:[x*@]|at|of)\s*(?P<res>{_N})\s*(?P<unit>\S.*)?)?",
    re.IGNORECASE,
)
_DIVISION = re.compile(rf"(?:least\s+)?divisions?\s+(?:of\s+)?(?P<n>{_N})\s*(?P<unit>\S.*)?", re.IGNORECASE)
_STANDARD = re.compile(rf"u\s*=\s*(?P<n>{_N})\s*(?P<unit>\S.*)?", re.IGNORECASE)
_ABSOLUTE = re.compile(rf"(?P<n>{_N})\s*(?P<unit>[^0-9\s%].*)")


def read_instrument(text: str, quantity: str, unit: str, size: float, place: Place = NOWHERE) -> Instrument:
    """Read a specification, else take the basic meter.

    Forms: ``0.5% + 2 counts of 0.01 V``, ``0.5% + 2`` (a count is then the last digit read), ``class 2.5 of
    100 kPa``, ``1.6 % of 60 kPa``, ``division 1 inHg`` (half of it is the bound), ``0.05 V``, ``u = 0.02 V``.
    ``scan tool`` means a figure that the vehicle itself reports. Any other text is a name and means the
    basic meter.

    Raises:
        BadInputError: it has figures that make no specification.
    """
    text = " ".join(text.replace("+/-", "\u00b1").replace("\u00d7", "x").split())
    if text.casefold().startswith(("scan", "data list")):
        return vehicle_data(quantity, unit, size)
    if not _FIGURES.match(text):
        basic = basic_meter(quantity, unit, size)
        return replace(basic, name=f"{text} (as a {basic.name})") if text else basic
    try:
        parts = [part.strip(" ()") for part in text.replace("\u00b1", "").strip(" ()").split("+")]
        return _summed(text, [_term(part, quantity, unit) for part in parts])
    except (NumberError, UnitError, ValueError):
        pass
    raise BadInputError(Problem(
        place, "unreadable-instrument", f"instrument `{text}`",
        "a form such as `0.5% + 2 counts of 0.01 V`, `class 2.5 of 100 kPa` or `division 1 inHg`",
        "write the figures from its data sheet, or leave the instrument out",
    ))  # fmt: skip


def _summed(text: str, terms: list[Instrument]) -> Instrument:
    standard = [term.standard for term in terms if term.standard is not None]
    if standard and len(terms) > 1:
        raise ValueError("a standard uncertainty stands alone")
    return Instrument(
        text,
        sum(term.percent for term in terms),
        sum(term.floor for term in terms),
        max(term.count for term in terms),
        standard[0] if standard else None,
        sum(term.counts for term in terms),
    )


def _term(text: str, quantity: str, unit: str) -> Instrument:
    """Read one term of a specification."""

    def amount(number: str, typed: str | None) -> float:
        scale = gain(find_unit(typed, quantity), find_unit(unit, quantity)) if typed else 1.0
        return abs(read_number(number).value) * scale

    if match := _STANDARD.fullmatch(text):
        return Instrument(text, standard=amount(match["n"], match["unit"]))
    if match := _FULL_SCALE.fullmatch(text):
        floor = amount(match["span"], match["unit"]) * read_number(match["cl"] or match["n"]).value / 100.0
        return Instrument(text, floor=floor, count=floor / 2.0)
    if match := _PERCENT.fullmatch(text):
        return Instrument(text, percent=read_number(match["n"]).value)
    if match := _DIVISION.fullmatch(text):
        division = amount(match["n"], match["unit"])
        return Instrument(text, floor=division / 2.0, count=division / 2.0)
    if match := _COUNTS.fullmatch(text):
        counts = float(match["n"])
        if not match["res"]:
            return Instrument(text, counts=counts)
        count = amount(match["res"], match["unit"])
        return Instrument(text, floor=counts * count, count=count)
    if match := _ABSOLUTE.fullmatch(text):
        return Instrument(text, floor=amount(match["n"], match["unit"]))
    raise ValueError(text)
