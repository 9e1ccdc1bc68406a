"""Whether something changed: a digest of names, sizes and times of all files, with next to nothing loaded."""

from __future__ import annotations

import hashlib
import os
from functools import cache

from proveout.book.tree import ENDINGS, files_below
from proveout.text.shipped import PACKAGE, shipped_at

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Iterable

#: The rooms whose code reads, checks or compiles a book, and those whose code decides what is advised; tests
#: hold these against what is imported.
ROOMS = ("model", "physics", "readiness", "measure", "text", "book")
ADVISING = (*ROOMS, "intake", "chain", "weigh", "plan")


@cache
def program_files(rooms: tuple[str, ...] = ROOMS) -> tuple[os.DirEntry[str], ...]:
    """Return the files of the program that decide what a book becomes: code and schemas."""
    code = (entry for room in rooms for entry in files_below(f"{PACKAGE}/{room}", (".py",)))
    return (*code, *files_below(shipped_at("schemas"), (".json",)))


def stamp(layers: Iterable[tuple[str, str, str]], rooms: tuple[str, ...] = ROOMS) -> tuple[str, int]:
    """Return a digest of the names, sizes and times of all files, and when the latest was changed (ns).

    Args:
        layers: of the book: name, directory, and what the names of its files begin with in complaints.
        rooms: whose code counts.

    Raises:
        OSError: a directory or file cannot be looked at.
    """
    digest, latest = hashlib.sha256(), 0
    entries = [*program_files(rooms), *(e for _, home, _ in layers for e in files_below(home, ENDINGS))]
    for entry in entries:
        state = entry.stat()
        line = f"{entry.path}\0{state.st_ino} {state.st_size} {state.st_mtime_ns} {state.st_ctime_ns}\n"
        digest.update(os.fsencode(line))
        latest = max(latest, state.st_mtime_ns, state.st_ctime_ns)
    for name, _, shown in layers:
        digest.update(os.fsencode(f"{name}\0{shown}\0"))
    return digest.hexdigest(), latest
