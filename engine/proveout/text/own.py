"""Directories of the user's own, for what the program keeps and later believes.

What lies in such a directory was put there by the user or by a program that runs as the user, who could as
well change this program. A directory that anybody else owns or may write in is never believed.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from proveout.model.problem import BadInputError, Place, Problem


def own_directory(path: Path) -> Path:
    """Make a directory for the user alone where it is missing, check that it is the user's own, and give it.

    Raises:
        BadInputError: it cannot be made, is a link or no directory, belongs to another user, or others may
            write in it.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.mkdir(mode=0o700, exist_ok=True)
        status = os.lstat(path)
    except (OSError, ValueError) as error:
        saw = f"cannot be made: {getattr(error, 'strerror', None) or error}"
        raise _refused(path, saw) from None
    if not stat.S_ISDIR(status.st_mode):
        raise _refused(path, "it is no directory")
    if hasattr(os, "geteuid"):
        if status.st_uid != os.geteuid():
            raise _refused(path, "it belongs to another user")
        if stat.S_IMODE(status.st_mode) & (stat.S_IWGRP | stat.S_IWOTH):
            raise _refused(path, "other users may write in it")
    return path


def is_own_file(path: Path) -> bool:
    """Say whether a regular file, not a link, stands there that the user owns and nobody else may write."""
    try:
        status = os.lstat(path)
    except (OSError, ValueError):
        return False
    if not stat.S_ISREG(status.st_mode):
        return False
    if not hasattr(os, "geteuid"):
        return True
    others = stat.S_IMODE(status.st_mode) & (stat.S_IWGRP | stat.S_IWOTH)
    return status.st_uid == os.geteuid() and not others


def _refused(path: Path, saw: str) -> BadInputError:
    name = os.fsencode(path).decode("utf-8", "backslashreplace")
    expected = "a directory that belongs to you and that only you may write in"
    mend = "remove it or set its rights (chmod go-w)"
    return BadInputError(Problem(Place(name), "not-own-directory", saw, expected, mend))
