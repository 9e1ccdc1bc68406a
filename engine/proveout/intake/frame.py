"""Freeze frame and readiness as bytes: services 02 and 01 of SAE J1979 / ISO 15031-5."""

from __future__ import annotations

import re
from collections.abc import Mapping

from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.physics.ranges import OutsideRangeError
from proveout.physics.scalings import scaled
from proveout.readiness.status import decode_status

#: Data item to the key of the freeze frame in an intake document.
FRAME_ITEMS: Mapping[int, str] = {
    0x04: "load_pct",
    0x05: "coolant_c",
    0x06: "short_trim_pct",
    0x07: "long_trim_pct",
    0x0C: "rpm",
    0x0D: "speed_kmh",
    0x0F: "intake_air_c",
    0x2F: "fuel_level_pct",
}
_ITEM = re.compile(
    r"(?:0x)?([0-9a-f]{1,2})\s*[=:]\s*((?:[0-9a-f]{2}\s*){1,8})(?![0-9a-f]*[=:])", re.IGNORECASE
)


def frame_from_bytes(text: str) -> dict[str, float]:
    """Return the freeze frame that data items amount to; items that no rule uses are left out.

    Args:
        text: items with their bytes, in hexadecimal, such as ``05=7B 0C=1AF8``.

    Raises:
        BadInputError: it is not that, an item is not known, or its bytes are too few.
    """
    found = _ITEM.findall(text)
    if not found or re.sub(r"[\s,;]", "", _ITEM.sub("", text)):
        expected = "data items with their bytes in hexadecimal, such as 05=7B 0C=1AF8"
        raise BadInputError(Problem(NOWHERE, "frame-bytes", f"{text[:60]!r}", expected))
    frame: dict[str, float] = {}
    for item, data in ((int(name, 16), bytes.fromhex("".join(data.split()))) for name, data in found):
        try:
            values = scaled(item, tuple(data))
        except OutsideRangeError as error:
            raise BadInputError(Problem(NOWHERE, "frame-bytes", f"item {item:02X}: {error}")) from None
        if item in FRAME_ITEMS and values:
            frame[FRAME_ITEMS[item]] = round(values[0].value, 2)
    return frame


def monitors_from_bytes(word: str, book: Book) -> list[str]:
    """Return the monitors of the book that the four readiness bytes show complete.

    Raises:
        BadInputError: it is not four bytes in hexadecimal.
    """
    known = {code.monitor for code in book.words.codes.values()}
    return [item.name for item in decode_status(word).monitors if item.complete and item.name in known]
