"""How a case file begins, told without reading the rest, as a shell asks it of many files."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

#: First line of every case file.
HEADER = "# proveout case file 1: one event a document, sealed by its digest; appended, never rewritten\n"
#: So much of it tells a case file from others, whatever version wrote it.
BEGINS = HEADER[:20]


def begins_as_case(path: Path) -> bool:
    """Say whether a plain file begins as a case file does.

    Raises:
        OSError: it cannot be read.
    """
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(len(BEGINS)) == BEGINS.encode()
