"""Conditions that a reading was taken under, where they are figures: supply voltage, barometer, altitude."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec import Struct

from proveout.measure.barometer import read_barometer
from proveout.measure.reading import Quantity, Reading, read
from proveout.model.problem import NOWHERE, Place

_SUPPLY = re.compile(r"\s*(?:sensor\s+)?supply\s*(?:[:=]|of|at|is)?\s*(.+)", re.IGNORECASE)
_AIR = re.compile(r"\s*(?:barometer|altitude|air pressure)\s*(?:[:=]|of|at|is)?\s*(.+)", re.IGNORECASE)


class Conditions(Struct, frozen=True):
    """What the conditions say in figures; None where they do not.

    Attributes:
        supply: the sensor's supply as measured, in V.
        barometer: local air pressure.
    """

    supply: Reading | None = None
    barometer: Quantity | None = None


def read_conditions(texts: Sequence[str], place: Place = NOWHERE) -> Conditions:
    """Read ``supply 4.80 V``, ``barometer 84 kPa`` or ``altitude 1500 m``; other texts are left alone.

    Raises:
        BadInputError: such a text holds no usable figure.
    """
    supply, barometer = None, None
    for text in texts:
        if match := _SUPPLY.fullmatch(text):
            supply = read(match[1], "voltage", "V", "", place)
        elif match := _AIR.fullmatch(text):
            barometer = read_barometer(match[1], place)
    return Conditions(supply, barometer)
