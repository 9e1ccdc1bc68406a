"""What a technician types (``2,5 V``, ``4k7``, ``-20 inHg``, ``2.1-2.3 V``) as numbers in one unit."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

from proveout.measure.convert import convert
from proveout.measure.number import NUMBER, NumberError, read_number
from proveout.measure.units import Unit, UnitError, find_unit, unit_key
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem

#: Pressure counted from the air around (gauge; vacuum negative) and from nothing (absolute).
GAUGE, ABSOLUTE = "atmosphere", "vacuum"

#: Longer texts are no readings.
_LONGEST = 120

_OPEN = re.compile("(?:ol|0l|o/l|open|inf|infinite|infinity|\u221e)(?:[km]?ohms?)?")
_VULGAR = re.compile("[\u00bc-\u00be\u2150-\u215e]")
_SINGLE = re.compile(rf"({NUMBER})\s*(.*)", re.DOTALL)
_INFIX = re.compile(r"([+-]?)([0-9]+)([kKMRV]|ohm)([0-9]+)\s*(ohms?)?")
_CLOCK = re.compile(r"([0-9]{1,3}):([0-5][0-9](?:\.[0-9]+)?)\s*(?:min|m)?")
_REFERENCE = re.compile(r"(.+?)(abs|absolute|\(a\)|gauge|gage|\(g\)|vac|vacuum)", re.IGNORECASE)
_LETTER = re.compile(r"(psi|bar|kpa)([ag])", re.IGNORECASE)
_REFERENCE_WORDS = {"abs": ABSOLUTE, "absolute": ABSOLUTE, "(a)": ABSOLUTE, "a": ABSOLUTE, "vac": "vac"} | {
    "gauge": GAUGE, "gage": GAUGE, "(g)": GAUGE, "g": GAUGE, "vacuum": "vac",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit symbol and, for a pressure, what it is counted from."""

    value: float
    unit: str
    relative_to: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading in the unit that was asked for.

    Attributes:
        low, high: ends of what was read; equal for a single value, infinite for an open circuit.
        unit: the unit asked for.
        relative_to: for a pressure, what it was counted from when typed.
        last_place: value of the last written digit, in the unit asked for; 0 where there is none.
        text: as typed.
        typed_unit: symbol of the unit as typed.
        one_sided: typed with ``<`` or ``>``: only one end is known.
        referenced: typed with a word such as ``gauge`` or ``vac``.
        moved: turned from gauge to absolute or back since it was typed.
    """

    low: float
    high: float
    unit: str
    relative_to: str = ""
    last_place: float = 0.0
    text: str = ""
    typed_unit: str = ""
    one_sided: bool = False
    referenced: bool = False
    moved: bool = False

    @property
    def middle(self) -> float:
        """The middle of what was read."""
        return self.low if self.low == self.high else (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class _Ask:
    """What is asked for: the quantity, the unit of a bare number and of the answer, and the reference."""

    quantity: str
    unit: Unit
    relative_to: str


@dataclass(frozen=True, slots=True)
class _Part:
    """One typed number: value in the typed unit, its last place, that unit and its reference."""

    value: float
    last_place: float
    unit: Unit | None
    reference: str


def read(text: str, quantity: str, unit: str, relative_to: str = "", place: Place = NOWHERE) -> Reading:
    """Read a value, an open circuit (``OL``), a range or a ``±`` form in the unit asked for.

    A bare number takes that unit. Pressure keeps the reference it was typed with (``psig``, ``kPa abs``,
    ``inHg vac``), by default the one asked for; nothing is shifted between them here.

    Raises:
        BadInputError: one problem, located at ``place``.
    """
    ask = _Ask(quantity, find_unit(unit, quantity), relative_to)
    try:
        return _read(text, ask)
    except NumberError as error:
        raise BadInputError(Problem(place, error.check, error.saw, _expected(ask), error.mend)) from None
    except UnitError as error:
        raise BadInputError(Problem(place, error.check, error.saw, error.expected, error.mend)) from None


def _expected(ask: _Ask) -> str:
    return f"a {ask.quantity} such as `{'2.5' if ask.unit.symbol != '%' else '40'} {ask.unit.symbol}`"


def plain(text: str) -> str:
    """Bring typed text to plain signs: one minus, ASCII digits, single spaces, written-out fractions."""
    text = _VULGAR.sub(lambda match: f" {unicodedata.normalize('NFKC', match[0])} ", text)
    text = unicodedata.normalize("NFKC", text).replace("\u2044", "/")
    for dash in "\u2212\u2010\u2011\u2012\u2013\u2014":
        text = text.replace(dash, "-")
    return " ".join(text.replace("\u2026", "...").split())


def _read(text: str, ask: _Ask) -> Reading:
    typed = text.strip()
    if not typed or len(typed) > _LONGEST:
        saw = f"a text of {len(typed)} characters" if typed else "no value"
        raise NumberError("unreadable-value", saw, "give the number that the meter shows, with its unit")
    text = plain(typed)
    if _OPEN.fullmatch(unit_key(text).casefold()):
        return _open(typed, ask)
    if text[0] in "<>" and len(text) > 1:
        return _one_sided(text, typed, ask)
    return _reading(_parts(text, ask), typed, ask)


def _open(typed: str, ask: _Ask) -> Reading:
    """Take OL as an open circuit for a resistance; elsewhere it is no value."""
    if ask.quantity != "resistance":
        raise NumberError(
            "over-range",
            f"`{typed}` says that the meter is out of its range",
            "choose a higher range and repeat",
        )
    return Reading(math.inf, math.inf, ask.unit.symbol, "", 0.0, typed, ask.unit.symbol)


def _one_sided(text: str, typed: str, ask: _Ask) -> Reading:
    one = _reading(_parts(text[1:].lstrip("= "), ask), typed, ask)
    low, high = (one.low, math.inf) if text[0] == ">" else (-math.inf, one.high)
    return Reading(
        low, high, one.unit, one.relative_to, one.last_place, typed, one.typed_unit, True, one.referenced
    )


def _parts(text: str, ask: _Ask) -> tuple[_Part, ...]:
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
    """Give every way to split a text at a dash or the word ``to`` that stands between two values."""
    marks = re.finditer(r"(?<=[^-+eE\s])\s*(?:-|\bto\b)\s*(?=[-+.0-9])", text)
    return [(text[: mark.start()], text[mark.end() :]) for mark in marks][:8]


def _pair(left: str, right: str, ask: _Ask) -> tuple[_Part, ...]:
    """Read two ends; an end without a unit takes that of the other."""
    first, second = _single(left, ask), _single(right, ask)
    given = first if first.unit else second
    whole = [
        part if part.unit else _Part(part.value, part.last_place, given.unit, given.reference)
        for part in (first, second)
    ]
    return tuple(whole)


def _around(middle: str, half: str, ask: _Ask) -> tuple[_Part, ...]:
    """Turn ``2.5 ± 0.1 V`` into its two ends."""
    centre, spread = _pair(middle, half, ask)
    if centre.unit != spread.unit or spread.value < 0:
        raise NumberError("unreadable-value", f"`{middle} ± {half}`", "give both numbers in one unit")
    ends = (centre.value - spread.value, centre.value + spread.value)
    return tuple(_Part(end, centre.last_place, centre.unit, centre.reference) for end in ends)


def _single(text: str, ask: _Ask) -> _Part:
    """Read one number with its unit, in the forms ``4k7``, ``1:30``, ``vac 10 inHg`` and ``2.5 V``."""
    text, before = _leading_reference(text.strip())
    infix = _INFIX.fullmatch(unit_key_keeping_points(text))
    if infix and ask.quantity in ("resistance", "voltage"):
        sign, whole, letter, part, _ = infix.groups()
        number = read_number(f"{sign}{whole}.{part}")
        return _Part(number.value, number.last_place, find_unit(letter, ask.quantity), "")
    clock = _CLOCK.fullmatch(text)
    if clock and ask.quantity == "time":
        return _Part(int(clock[1]) * 60 + float(clock[2]), 1.0, find_unit("s", "time"), "")
    match = _SINGLE.fullmatch(text)
    if not match:
        raise NumberError("unreadable-value", f"`{text}` is not a value", "give a number with its unit")
    number = read_number(match[1])
    unit, reference = _unit(match[2], ask)
    return _oriented(number.value, number.last_place, unit, reference or before)


def unit_key_keeping_points(text: str) -> str:
    """Bring ohm signs to letters but keep decimal points, for forms such as ``4k7``."""
    return text.replace("\u03a9", "ohm").replace("\u03c9", "ohm")


def _leading_reference(text: str) -> tuple[str, str]:
    word, _, rest = text.partition(" ")
    reference = _REFERENCE_WORDS.get(word.casefold(), "") if len(word) > 1 else ""
    return (rest, reference) if reference and rest else (text, "")


def _oriented(value: float, last_place: float, unit: Unit | None, reference: str) -> _Part:
    """Turn ``10 inHg vac`` into minus 10 inHg gauge; a minus sign typed besides says the same."""
    if reference != "vac":
        return _Part(value, last_place, unit, reference)
    return _Part(-abs(value), last_place, unit, GAUGE)


def _unit(text: str, ask: _Ask) -> tuple[Unit | None, str]:
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
            return find_unit(match[1], ask.quantity), _REFERENCE_WORDS[match[2].casefold()]
    return find_unit(text, ask.quantity), ""


def _reading(parts: tuple[_Part, ...], typed: str, ask: _Ask) -> Reading:
    """Bring the typed numbers into the unit asked for."""
    units = [part.unit or ask.unit for part in parts]
    references = {part.reference or ask.relative_to for part in parts}
    if len(references) > 1:
        raise NumberError("unreadable-value", f"`{typed}` mixes gauge and absolute", "give both ends alike")
    values = sorted(_converted(part.value, unit, ask) for part, unit in zip(parts, units, strict=True))
    return Reading(
        values[0],
        values[-1],
        ask.unit.symbol,
        references.pop(),
        abs(_converted(parts[0].value + parts[0].last_place, units[0], ask)
            - _converted(parts[0].value, units[0], ask)),
        typed,
        units[0].symbol,
        referenced=any(part.reference for part in parts),
    )  # fmt: skip


def _converted(value: float, unit: Unit, ask: _Ask) -> float:
    """Convert, and refuse units of the same quantity that still measure different things (rpm and km/h)."""
    if unit.dimension != ask.unit.dimension:
        raise UnitError(
            "wrong-dimension", f"`{unit.symbol}` measures {unit.dimension}",
            f"{ask.unit.dimension} in a unit such as {ask.unit.symbol}",
        )  # fmt: skip
    return convert(value, unit, ask.unit)
