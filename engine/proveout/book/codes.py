"""The structure of trouble codes: a letter, four characters, and what they tell before any meaning is known.

Form, two-byte coding and ranges follow SAE J2012 and ISO 15031-6. The letter takes bits 15 and 14 (00 P,
01 C, 10 B, 11 U), the second character bits 13 and 12, and each further one four bits. A third byte, the
failure type, is written after a hyphen as two hexadecimal digits.
"""

from __future__ import annotations

import re

from msgspec import Struct

from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.text.near import show

GENERIC, MANUFACTURER, RESERVED = "generic", "manufacturer", "reserved"

#: The letters in the order of their coding.
LETTERS = "PCBU"
SYSTEMS = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}

_FORM = re.compile(r"([PCBU][0-3][0-9A-F]{3})(?:-([0-9A-F]{2}))?\Z")

_AIR = "fuel and air metering"
_GEARBOX = "transmission"
_HYBRID = "hybrid propulsion"
#: What the third character of P0 and P2 codes stands for; 9 and A to C from memory.
SUBSYSTEMS = {
    "0": f"{_AIR}, auxiliary emission controls",
    "1": _AIR,
    "2": f"{_AIR}, injector circuits",
    "3": "ignition and misfire",
    "4": "auxiliary emission controls",
    "5": "vehicle speed, idle control, auxiliary inputs",
    "6": "control unit and its outputs",
    "7": _GEARBOX,
    "8": _GEARBOX,
    "9": _GEARBOX,
    "A": _HYBRID,
    "B": _HYBRID,
    "C": _HYBRID,
}


class CodeForm(Struct, frozen=True):
    """A code and what its form tells.

    Attributes:
        code: the five characters, such as ``P0442``.
        failure_type: the two digits after the hyphen, or "".
        system: powertrain, chassis, body or network.
        controlled_by: who gives it its meaning: ``generic`` (the standard), ``manufacturer``, or
            ``reserved`` (nobody yet).
        subsystem: what the third character stands for, or "" where the standard does not say.
    """

    code: str
    failure_type: str
    system: str
    controlled_by: str
    subsystem: str


def parse_code(text: str, place: Place = NOWHERE) -> CodeForm:
    """Read a code as people write it; small letters and blanks do not matter.

    Raises:
        BadInputError: it is no code.
    """
    tidy = "".join(text.split()).upper()
    match = _FORM.match(tidy)
    if match is None or match[1] == "P0000":
        raise BadInputError(_wrong(text, tidy, place))
    code, failure_type = match[1], match[2] or ""
    subsystem = SUBSYSTEMS.get(code[2], "") if code[:2] in ("P0", "P2") else ""
    return CodeForm(code, failure_type, SYSTEMS[code[0]], controlled_by(code), subsystem)


def controlled_by(code: str) -> str:
    """Say who gives a code of five characters its meaning, by its range.

    P3A00 to P3FFF count as reserved (from memory); U3xxx as generic, since some of it has a standard meaning.
    """
    start = code[:2]
    if start in ("P0", "P2", "C0", "B0", "U0", "U3"):
        return GENERIC
    if start in ("C3", "B3"):
        return RESERVED
    if start != "P3":
        return MANUFACTURER
    if code[2] in "0123":
        return MANUFACTURER
    return GENERIC if code[2] in "456789" else RESERVED


def code_of_bytes(high: int, low: int) -> str:
    """Return the code that two bytes (0..255 each) stand for; "" for 00 00, which is padding and no code."""
    if not (high or low):
        return ""
    return f"{LETTERS[high >> 6]}{high >> 4 & 3}{high & 15:X}{low:02X}"


def bytes_of_code(code: str) -> bytes:
    """Return the two bytes for a code of five characters; 00 00 for "".

    Raises:
        BadInputError: it is no code.
    """
    if not code:
        return b"\x00\x00"
    tidy = parse_code(code).code
    value = LETTERS.index(tidy[0]) << 14 | int(tidy[1:], 16)
    return value.to_bytes(2, "big")


def _wrong(text: str, tidy: str, place: Place) -> Problem:
    """Say what is wrong with what should be a code."""
    saw = show(text)
    expected = "a code such as P0442: P, C, B or U, a digit 0 to 3, three hexadecimal digits"
    mended = tidy[:1] + tidy[1:].replace("O", "0").replace("I", "1").replace("L", "1")
    if tidy == "P0000":
        mend = "leave it out: it stands for 'no code stored'"
    elif mended != tidy and _FORM.match(mended):
        mend = f"did you mean {mended}?"
    elif tidy[:1] not in tuple(LETTERS):
        mend = "begin with P, C, B or U"
    elif tidy[1:2] not in ("0", "1", "2", "3"):
        mend = "the second character is a digit from 0 to 3"
    elif "-" in tidy:
        mend = "the failure type after the hyphen is two hexadecimal digits, such as P0113-15"
    else:
        mend = (
            f"give five characters, not {len(tidy)}" if len(tidy) != 5 else "use digits and A to F at the end"
        )
    return Problem(place, "code-form", saw, expected, mend)
