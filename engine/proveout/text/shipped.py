"""Where the files that come with the program lie: at the root of a checkout, or beside the installed code."""

from __future__ import annotations

from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def is_installed() -> bool:
    """Say whether the shipped files lie beside the installed code, and so are those of a release."""
    return (_PACKAGE / "data").is_dir()


@cache
def shipped_dir(name: str) -> Path:
    """Return the directory ``rules``, ``schemas`` or ``cases`` that comes with the program.

    Raises:
        FileNotFoundError: the installation lacks it.
    """
    for home in (_PACKAGE / "data", _PACKAGE.parent.parent):
        if (home / name).is_dir():
            return home / name
    raise FileNotFoundError(f"the installation lacks its directory '{name}'; install proveout again")
