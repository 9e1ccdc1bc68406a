"""What a compiled book is made from: the program's own code and schemas, and the texts of all layers."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path

from proveout.book.files import ENDINGS, Layer
from proveout.book.tree import files_below
from proveout.text.shipped import shipped_dir

_PACKAGE = Path(__file__).resolve().parents[2]

#: The rooms whose code reads, checks or compiles a book; a test holds this against what is imported.
ROOMS = ("model", "physics", "readiness", "measure", "text", "book")


@cache
def program_files(rooms: tuple[str, ...] = ROOMS) -> tuple[os.DirEntry[str], ...]:
    """Return the files of the program that decide what a book becomes: code and schemas."""
    code = (entry for room in rooms for entry in files_below(_PACKAGE / room, (".py",)))
    return (*code, *files_below(shipped_dir("schemas"), (".json",)))


def stamp_of(layers: Sequence[Layer], rooms: tuple[str, ...] = ROOMS) -> tuple[str, int]:
    """Return a digest of the names, sizes and times of all files, and when the latest was changed (ns).

    Args:
        layers: of the book.
        rooms: whose code counts.

    Raises:
        OSError: a directory or file cannot be looked at.
    """
    digest, latest = hashlib.sha256(), 0
    for entry in _every_file(layers, rooms):
        state = entry.stat()
        line = f"{entry.path}\0{state.st_ino} {state.st_size} {state.st_mtime_ns} {state.st_ctime_ns}\n"
        digest.update(os.fsencode(line))
        latest = max(latest, state.st_mtime_ns, state.st_ctime_ns)
    for layer in layers:
        digest.update(os.fsencode(f"{layer.name}\0{layer.shown}\0"))
    return digest.hexdigest(), latest


def key_of(layers: Sequence[Layer]) -> str:
    """Return a digest of the layers' names, the names and bytes of their files, and the program's code.

    Raises:
        OSError: a file cannot be read.
    """
    digest = hashlib.sha256()
    for entry in program_files():
        digest.update(_sha(Path(entry.path).read_bytes()))
    for layer in layers:
        digest.update(_sha(os.fsencode(f"{layer.name}\0{layer.shown}")))
        for entry in files_below(layer.path, ENDINGS):
            name = Path(entry.path).relative_to(layer.path).as_posix()
            digest.update(_sha(os.fsencode(name)) + _sha(Path(entry.path).read_bytes()))
    return digest.hexdigest()


def _every_file(layers: Sequence[Layer], rooms: tuple[str, ...]) -> Iterable[os.DirEntry[str]]:
    yield from program_files(rooms)
    for layer in layers:
        yield from files_below(layer.path, ENDINGS)


def _sha(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()
