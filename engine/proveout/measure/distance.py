"""Distances driven, as people say them: 150,000 km, 93k mi."""

from __future__ import annotations

import re

_DISTANCE = re.compile(
    r"(?P<number>[^a-zA-Z]*?)\s*(?P<thousand>k(?![a-z])|k(?=km|mi)|thousand|)\s*(?P<unit>[a-z]*)\.?", re.I
)
_KM, _MILES = frozenset(("km", "kms", "kilometers", "kilometres")), frozenset(("mi", "mile", "miles", "m"))
#: Three digits after one comma or point group thousands: nobody reads an odometer to the metre.
_GROUPED = re.compile(r"[0-9]{1,3}[.,][0-9]{3}")
#: No odometer shows more, km.
FARTHEST = 5e6


def distance(text: str) -> tuple[float, str]:
    """Read a distance driven.

    Returns:
        The number as said, and ``km``, ``mi``, or "" where no unit was given.

    Raises:
        ValueError: it is none; the text says why.
    """
    from proveout.measure.number import NumberError, read_number

    typed = text.strip()
    found = _DISTANCE.fullmatch(typed)
    unit = found["unit"].casefold() if found else ""
    if not found or (unit and unit not in _KM | _MILES):
        raise ValueError(f"`{typed}` is no distance; write it like 150000 km, 93,000 miles or 93k mi")
    number = found["number"].strip()
    grouped = bool(_GROUPED.fullmatch(number)) and not found["thousand"]
    try:
        value = read_number(re.sub("[.,]", "", number) if grouped else number).value
    except NumberError as error:
        raise ValueError(f"{error.saw}; {error.mend}") from None
    value *= 1000.0 if found["thousand"] else 1.0
    if not 0 <= value <= FARTHEST:
        raise ValueError(f"`{typed}` is farther than any vehicle goes, or less than nothing")
    return value, "km" if unit in _KM else "mi" if unit in _MILES else ""


def kilometres(value: float, unit: str) -> float:
    """Turn a distance into whole kilometres; a bare one counts as such."""
    from proveout.readiness.regulation import KM_PER_MILE

    return float(round(value * KM_PER_MILE if unit == "mi" else value))
