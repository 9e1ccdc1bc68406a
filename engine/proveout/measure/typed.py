"""What a technician types, taken apart: numbers, units, and what a pressure is counted from."""

from __future__ import annotations

import re
import unicodedata

from msgspec import Struct

from proveout.measure.number import NUMBER, NumberError, read_number
from proveout.measure.units import Unit, UnitError, find_unit, unit_key

#: Pressure counted from the air around (gauge; vacuum negative) and from nothing (absolute).
GAUGE, ABSOLUTE = "atmosphere", "vacuum"

_VULGAR = re.compile("[\u00bc-\u00be\u2150-\u215e]")
_SINGLE = re.compile(rf"({NUMBER})\s*(.*)", re.DOTALL)
_INFIX = re.compile(r"([+-]?)([0-9]+)([kKMRV]|ohm)([0-9]+)\s*(ohms?)?")
_CLOCK = re.compile(r"([0-9]{1,3}):([0-5][0-9](?:\.[0-9]+)?)\s*(?:min|m)?")
_REFERENCE = re.compile(r"(.+?)(?:\((a|g)\)|\(?(abs|absolute|gauge|gage|vac|vacuum)\)?)", re.IGNORECASE)
_LETTER = re.compile(r"(psi|bar|kpa)([ag])", re.IGNORECASE)
_REFERENCE_WORDS = {
    "abs": ABSOLUTE,
    "absolute": ABSOLUTE,
    "a": ABSOLUTE,
    "gauge": GAUGE,
    "gage": GAUGE,
    "g": GAUGE,
    "vac": "vac",
    "vacuum": "vac",
}


class Ask(Struct, frozen=True):
    """What is asked for: the quantity, the unit of a bare number and of the answer, and the reference."""

    quantity: str
    unit: Unit
    relative_to: str


class Part(Struct, frozen=True):
    """One typed number: value in the typed unit, its last place, that unit and its reference."""

    value: float
    last_place: float
    unit: Unit | None
    reference: str


def plain(text: str) -> str:
    """Bring typed text to plain signs: one minus, ASCII digits, single spaces, written-out fractions."""
    text = _VULGAR.sub(lambda match: f" {unicodedata.normalize('NFKC', match[0])} ", text)
    text = unicodedata.normalize("NFKC", text.replace("\u00ba", "°")).replace("\u2044", "/")
    for dash in "\u2212\u2010\u2011\u2012\u2013\u2014":
        text = text.replace(dash, "-")
    return " ".join(text.replace("\u2026", "...").split())


def typed_parts(text: str, ask: Ask) -> tuple[Part, ...]:
    """Split a text into one or two numbers with units; the first splitting that can be read wins."""
    tolerance = re.split(r"\s*(?:±|\+/-|\+-)\s*", text, maxsplit=1)
    if len(tolerance) == 2 and tolerance[0]:
        return _around(tolerance[0], tolerance[1], ask)
    if ".." in text:
        left, right = re.split(r"\s*\.{2,3}\s*", text, maxsplit=1)
        return _pair(left, right, ask)
    try:
        return (_single(text, ask),)
    except (NumberError, UnitError) as error:
        for left, right in _splits(text):
            try:
                return _pair(left, right, ask)
            except (NumberError, UnitError):
                continue
        raise error from None


def _splits(text: str) -> list[tuple[str, str]]:
    """Return every way to split a text at a dash or the word ``to`` that stands between two values."""
    marks = re.finditer(r"(?<=[^-+eE\s])\s*(?:-|\bto\b)\s*(?=[-+.0-9])", text)
    return [(text[: mark.start()], text[mark.end() :]) for mark in marks][:8]


def _pair(left: str, right: str, ask: Ask) -> tuple[Part, ...]:
    """Read two ends; an end without a unit takes that of the other."""
    first, second = _single(left, ask), _single(right, ask)
    given = first if first.unit else second
    whole = [
        part if part.unit else Part(part.value, part.last_place, given.unit, given.reference)
        for part in (first, second)
    ]
    return tuple(whole)


def _around(middle: str, half: str, ask: Ask) -> tuple[Part, ...]:
    """Turn ``2.5 ± 0.1 V`` into its two ends."""
    centre, spread = _pair(middle, half, ask)
    if centre.unit != spread.unit or spread.value < 0:
        raise NumberError("unreadable-value", f"`{middle} ± {half}`", "give both numbers in one unit")
    ends = (centre.value - spread.value, centre.value + spread.value)
    return tuple(Part(end, centre.last_place, centre.unit, centre.reference) for end in ends)


def _single(text: str, ask: Ask) -> Part:
    """Read one number with its unit, in the forms ``4k7``, ``1:30``, ``vac 10 inHg`` and ``2.5 V``."""
    text, before = _leading_reference(text.strip())
    infix = _INFIX.fullmatch(text.replace("\u03a9", "ohm"))
    if infix and ask.quantity in ("resistance", "voltage"):
        sign, whole, letter, part, _ = infix.groups()
        number = read_number(f"{sign}{whole}.{part}")
        return Part(number.value, number.last_place, find_unit(letter, ask.quantity), "")
    clock = _CLOCK.fullmatch(text)
    if clock and ask.quantity == "time":
        return Part(int(clock[1]) * 60 + float(clock[2]), 1.0, find_unit("s", "time"), "")
    match = _SINGLE.fullmatch(text)
    if not match:
        raise NumberError("unreadable-value", f"`{text}` is not a value", "give a number with its unit")
    number = read_number(match[1])
    unit, reference = _unit(match[2], ask)
    return _oriented(number.value, number.last_place, unit, reference or before)


def _leading_reference(text: str) -> tuple[str, str]:
    word, _, rest = text.partition(" ")
    reference = _REFERENCE_WORDS.get(word.casefold(), "") if len(word) > 1 else ""
    return (rest, reference) if reference and rest else (text, "")


def _oriented(value: float, last_place: float, unit: Unit | None, reference: str) -> Part:
    """Turn ``10 inHg vac`` into minus 10 inHg gauge; a minus sign typed besides says the same."""
    if reference != "vac":
        return Part(value, last_place, unit, reference)
    return Part(-abs(value), last_place, unit, GAUGE)


def _unit(text: str, ask: Ask) -> tuple[Unit | None, str]:
    """Read the unit after a number and, for pressures, what it is counted from."""
    text = text.strip()
    if not text:
        return None, ""
    if ask.quantity != "pressure":
        return find_unit(text, ask.quantity), ""
    key = unit_key(text)
    if key.casefold() in _REFERENCE_WORDS and len(key) > 1:
        return ask.unit, _REFERENCE_WORDS[key.casefold()]
    for form in (_REFERENCE, _LETTER):
        match = form.fullmatch(key)
        if match:
            word = next(group for group in match.groups()[1:] if group)
            return find_unit(match[1], ask.quantity), _REFERENCE_WORDS[word.casefold()]
    return find_unit(text, ask.quantity), ""
