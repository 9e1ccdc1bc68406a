"""How a case file begins, told without reading the rest, as a shell asks it of many files."""

from __future__ import annotations

import os

#: First line of every case file.
HEADER = "# proveout case file 1: one event a document, sealed by its digest; appended, never rewritten\n"
#: So much of it tells a case file from others, whatever version wrote it.
BEGINS = HEADER[:20]


def begins_as_case(path: str) -> bool:
    """Say whether a plain file begins as a case file does.

    Raises:
        OSError: it cannot be read.
    """
    if not os.path.isfile(path):  # noqa: PTH113  # whoever presses Tab waits for pathlib
        return False
    with open(path, "rb") as file:  # noqa: PTH123
        return file.read(len(BEGINS)) == BEGINS.encode()
