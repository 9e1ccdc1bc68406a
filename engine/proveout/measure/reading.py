"""What a technician types (``2,5 V``, ``4k7``, ``-20 inHg``, ``2.1-2.3 V``) as numbers in one unit."""

from __future__ import annotations

import math
import re

from msgspec import Struct

from proveout.measure.convert import convert
from proveout.measure.number import NumberError
from proveout.measure.typed import Ask, Part, plain, typed_parts
from proveout.measure.units import Unit, UnitError, find_unit, unit_key
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem

#: Longer texts are no readings.
_LONGEST = 120

_OPEN = re.compile("(?:ol|0l|o/l|open|inf|infinite|infinity|opencircuit|nocontinuity|\u221e)(?:[km]?ohms?)?")


class Quantity(Struct, frozen=True):
    """A number with its unit symbol and, for a pressure, what it is counted from."""

    value: float
    unit: str
    relative_to: str = ""


class Reading(Struct, frozen=True):
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


def read(text: str, quantity: str, unit: str, relative_to: str = "", place: Place = NOWHERE) -> Reading:
    """Read a value, an open circuit (``OL``), a range or a ``±`` form in the unit asked for.

    A bare number takes that unit. Pressure keeps the reference it was typed with (``psig``, ``kPa abs``,
    ``inHg vac``), by default the one asked for; nothing is shifted between them here.

    Raises:
        BadInputError: one problem, located at ``place``.
    """
    ask = Ask(quantity, find_unit(unit, quantity), relative_to)
    try:
        return _read(text, ask)
    except NumberError as error:
        raise BadInputError(Problem(place, error.check, error.saw, _expected(ask), error.mend)) from None
    except UnitError as error:
        raise BadInputError(Problem(place, error.check, error.saw, error.expected, error.mend)) from None


def _expected(ask: Ask) -> str:
    return f"a {ask.quantity} such as `{'2.5' if ask.unit.symbol != '%' else '40'} {ask.unit.symbol}`"


def _read(text: str, ask: Ask) -> Reading:
    typed = text.strip()
    if not typed or len(typed) > _LONGEST:
        saw = f"a text of {len(typed)} characters" if typed else "no value"
        raise NumberError("unreadable-value", saw, "give the number that the meter shows, with its unit")
    text = plain(typed).rstrip(" ,;")
    if _OPEN.fullmatch(unit_key(text).casefold()):
        return _open(typed, ask)
    if text[:1] in tuple("<>") and len(text) > 1:
        return _one_sided(text, typed, ask)
    return _reading(typed_parts(text, ask), typed, ask)


def _open(typed: str, ask: Ask) -> Reading:
    """Take OL as an open circuit for a resistance; elsewhere it is no value."""
    if ask.quantity != "resistance":
        raise NumberError(
            "over-range",
            f"`{typed}` says that the meter is out of its range",
            "choose a higher range and repeat",
        )
    return Reading(math.inf, math.inf, ask.unit.symbol, "", 0.0, typed, ask.unit.symbol)


def _one_sided(text: str, typed: str, ask: Ask) -> Reading:
    one = _reading(typed_parts(text[1:].lstrip("= "), ask), typed, ask)
    low, high = (one.low, math.inf) if text[0] == ">" else (-math.inf, one.high)
    return Reading(
        low, high, one.unit, one.relative_to, one.last_place, typed, one.typed_unit, True, one.referenced
    )


def _reading(parts: tuple[Part, ...], typed: str, ask: Ask) -> Reading:
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


def _converted(value: float, unit: Unit, ask: Ask) -> float:
    """Convert, and refuse units of the same quantity that still measure different things (rpm and km/h)."""
    if unit.dimension != ask.unit.dimension:
        raise UnitError(
            "wrong-dimension", f"`{unit.symbol}` measures {unit.dimension}",
            f"{ask.unit.dimension} in a unit such as {ask.unit.symbol}",
        )  # fmt: skip
    return convert(value, unit, ask.unit)
