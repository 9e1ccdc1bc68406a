"""Notes for whoever presses Tab: lines of text, and the state of all files that they were made from.

A note holds while each of those files and directories has its time and size. A directory that somebody else
owns or may write is not used. Only ``os`` is loaded here: loading more takes longer than all that is done.
"""

from __future__ import annotations

import os

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Iterable

#: A file changed within this many seconds might change again without its time showing it.
RACY = 2.0


def read(home: str, name: str) -> list[str] | None:
    """Return the lines of a note that holds, else None.

    Args:
        home: the directory of the notes.
        name: of the note.
    """
    path = f"{home}/{name}"
    try:
        if not (is_own(home) and is_own(path)):
            return None
        with open(path, encoding="utf-8", errors="surrogateescape") as file:  # noqa: PTH123  # without pathlib
            lines = file.read().split("\n")
        count = int(lines[0])
        holds = all(_state(line.split(" ", 2)[2]) == line for line in lines[1 : count + 1])
    except (OSError, ValueError, IndexError):
        return None
    return lines[count + 1 :] if holds else None


def write(home: str, name: str, made_from: Iterable[str], lines: Iterable[str]) -> None:
    """Write a note, whole or not at all; where it cannot be written it is done without.

    Args:
        home: the directory of the notes; made where it is missing.
        name: of the note.
        made_from: the files and directories that it was made from; one that is missing must stay so.
        lines: the note, without line ends within.
    """
    import tempfile
    import time
    from contextlib import suppress

    states = [_state(path) for path in made_from if "\n" not in path]
    latest = max((int(state.split(" ", 1)[0]) for state in states), default=0)
    if time.time_ns() - latest < RACY * 1e9:
        return
    with suppress(OSError):
        os.makedirs(home, mode=0o700, exist_ok=True)  # noqa: PTH103
        if not is_own(home):
            return
        handle, new = tempfile.mkstemp(dir=home, prefix=".new-")
        with os.fdopen(handle, "w", encoding="utf-8", errors="surrogateescape") as file:
            file.write("\n".join((str(len(states)), *states, *lines)))
        os.replace(new, f"{home}/{name}")  # noqa: PTH105


def below(home: str) -> list[str]:
    """Return a directory and all directories and files below it but hidden ones and bytecode."""
    found = []
    for directory, inner, files in os.walk(home):
        inner[:] = sorted(name for name in inner if not name.startswith((".", "__pycache__")))
        found += [directory, *(f"{directory}/{name}" for name in sorted(files) if not name.startswith("."))]
    return found


def _state(path: str) -> str:
    """Return when a file was changed, its size and its name; zeros where it is missing."""
    try:
        state = os.stat(path)  # noqa: PTH116
    except FileNotFoundError:
        return f"0 0 {path}"
    return f"{state.st_mtime_ns} {state.st_size} {path}"


def is_own(path: str) -> bool:
    """Say whether a path is no link, is the user's, and nobody else may write it."""
    state = os.lstat(path)
    if not hasattr(os, "geteuid"):  # a system without owners in this sense
        return True
    return state.st_uid == os.geteuid() and not state.st_mode & 0o022 and state.st_mode & 0o170000 != 0o120000
