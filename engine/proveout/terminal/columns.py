"""How many columns there are to write in; as ``shutil`` finds them, which takes longer to load."""

from __future__ import annotations

import os
import sys

#: Where nothing tells, and the fewest and most that are used.
_UNTOLD, _LEAST, _MOST = 80, 40, 100


def columns() -> int:
    """Return the columns to write for: the terminal's, between 40 and 100."""
    return max(_LEAST, min(_MOST, _stated() or _of_the_terminal() or _UNTOLD))


def _stated() -> int:
    """Return what the environment says; 0 where it says nothing that makes sense."""
    try:
        return max(0, int(os.environ.get("COLUMNS", "")))
    except ValueError:
        return 0


def _of_the_terminal() -> int:
    """Return the columns of the terminal that is written to; 0 where it is none."""
    try:
        return os.get_terminal_size(sys.__stdout__.fileno()).columns  # type: ignore[union-attr]
    except (AttributeError, ValueError, OSError):
        return 0
