"""Where the files that come with the program lie: at the root of a checkout, or beside the installed code."""

from __future__ import annotations

import os
from functools import cache

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from pathlib import Path

#: The directory of the program's code. Without pathlib: what is looked up at once needs this module.
PACKAGE = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))  # noqa: PTH120


def is_installed() -> bool:
    """Say whether the shipped files lie beside the installed code, and so are those of a release."""
    return os.path.isdir(f"{PACKAGE}/data")  # noqa: PTH112


@cache
def shipped_dir(name: str) -> Path:
    """Return the directory ``rules``, ``schemas`` or ``cases`` that comes with the program.

    Raises:
        FileNotFoundError: the installation lacks it.
    """
    from pathlib import Path

    return Path(shipped_at(name))


@cache
def shipped_at(name: str) -> str:
    """Return the same as a text."""
    for home in (os.path.join(PACKAGE, "data"), os.path.dirname(os.path.dirname(PACKAGE))):  # noqa: PTH118, PTH120
        if os.path.isdir(found := os.path.join(home, name)):  # noqa: PTH112, PTH118
            return found
    raise FileNotFoundError(f"the installation lacks its directory '{name}'; install proveout again")
