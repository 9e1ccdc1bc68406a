"""What a compiled book is made from: the program's own code and schemas, and the texts of all layers."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from pathlib import Path

from proveout.book.compiled.stamp import ROOMS, program_files, stamp
from proveout.book.files import Layer
from proveout.book.tree import ENDINGS, files_below


def stamp_of(layers: Sequence[Layer], rooms: tuple[str, ...] = ROOMS) -> tuple[str, int]:
    """Return what ``stamp`` does for the layers of a book.

    Raises:
        OSError: a directory or file cannot be looked at.
    """
    return stamp([(layer.name, str(layer.path), layer.shown) for layer in layers], rooms)


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


def _sha(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()
