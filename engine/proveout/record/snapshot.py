"""Snapshots of the rule book, so that an old advice can be replayed after the book has changed.

A snapshot is the text of every file of every layer, wherever the layers lay. The store is a directory:
``texts/`` holds each distinct text once, compressed, named by its SHA-256; ``books/`` holds a list of the
files of each book, named by the SHA-256 of that list, which is the snapshot's digest. Nothing in it is ever
changed.
"""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import rfc8785

from proveout.model.problem import BadInputError, DamagedRecordError, Place, Problem
from proveout.record import files

#: Keeps these digests apart from any other use of SHA-256.
TAG = b"proveout/book-snapshot/1\0"


@dataclass(frozen=True, slots=True)
class Layer:
    """One directory of a book: its name, and (path within it, text) sorted by path."""

    name: str
    files: tuple[tuple[str, bytes], ...]


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The files of a book, lowest layer first."""

    layers: tuple[Layer, ...]

    @property
    def digest(self) -> str:
        """SHA-256 in hex over the list of files and the digests of their texts."""
        return _digest(_listing(self))


def take(directories: Sequence[Path]) -> Snapshot:
    """Read the files of a book's layers.

    Args:
        directories: lowest layer first, as they were given for loading.

    Raises:
        BadInputError: a directory or file cannot be read.
    """
    return Snapshot(tuple(_layer(directory) for directory in directories))


def keep(store: Path, snapshot: Snapshot) -> str:
    """Put a snapshot into the store, which is made where missing, and give its digest.

    Raises:
        BadInputError: the store cannot be written.
    """
    listing = _listing(snapshot)
    digest = _digest(listing)
    book = store / "books" / f"{digest}.json"
    if book.exists():
        return digest
    for name in ("texts", "books"):
        files.make_directory(store / name)
    with files.locked(store):
        for layer in snapshot.layers:
            for _, text in layer.files:
                _keep_text(store, text)
        files.replace(book, listing)
    return digest


def load(store: Path, digest: str) -> Snapshot:
    """Take a snapshot out of the store; every text is checked against its digest.

    Raises:
        BadInputError: it is not there or cannot be read.
        DamagedRecordError: a file of the store was altered.
    """
    path = store / "books" / f"{digest}.json"
    if not re.fullmatch("[0-9a-f]{64}", digest) or not path.exists():
        saw, mend = f"no snapshot {digest[:12]} of the book", "copy the store from where the advice was given"
        raise BadInputError(Problem(Place(files.shown(store)), "no-snapshot", saw, mend=mend))
    listing = files.read(path)
    if _digest(listing) != digest:
        raise _damaged(path)
    layers = json.loads(listing)["layers"]
    return Snapshot(
        tuple(
            Layer(layer["name"], tuple((name, _load_text(store, text)) for name, text in layer["files"]))
            for layer in layers
        )
    )


def unpack(snapshot: Snapshot, into: Path) -> tuple[Path, ...]:
    """Write the layers of a snapshot as directories under an empty one, to be loaded as a book.

    Gives the directories, lowest layer first. They bear the names of the originals, from which a book names
    its layers.

    Raises:
        BadInputError: they cannot be written.
    """
    made = []
    for number, layer in enumerate(snapshot.layers):
        root = into / str(number) / layer.name
        files.make_directory(root)
        for name, text in layer.files:
            files.make_directory((root / name).parent)
            files.scratch(root / name, text)
        made.append(root)
    return tuple(made)


def _layer(directory: Path) -> Layer:
    if not directory.is_dir():
        raise BadInputError(
            Problem(Place(files.shown(directory)), "no-layer", "no directory", "a directory of rules")
        )
    found = sorted(directory.rglob("*.yaml"), key=lambda path: path.relative_to(directory).as_posix())
    return Layer(
        files.shown(Path(directory.name or directory.resolve().name or "book")),
        tuple((path.relative_to(directory).as_posix(), files.read(path)) for path in found if path.is_file()),
    )


def _listing(snapshot: Snapshot) -> bytes:
    """Spell the list of files; its bytes are what the snapshot's digest covers."""
    layers = [
        {"name": layer.name, "files": [[name, _sha(text)] for name, text in layer.files]}
        for layer in snapshot.layers
    ]
    return rfc8785.dumps({"layers": layers})


def _digest(listing: bytes) -> str:
    return _sha(TAG + listing)


def _sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _text_path(store: Path, digest: str) -> Path:
    return store / "texts" / digest[:2] / f"{digest}.z"


def _keep_text(store: Path, text: bytes) -> None:
    path = _text_path(store, _sha(text))
    if not path.exists():
        files.make_directory(path.parent)
        files.replace(path, zlib.compress(text, 9))


def _load_text(store: Path, digest: str) -> bytes:
    path = _text_path(store, digest)
    try:
        text = zlib.decompress(files.read(path))
    except zlib.error:
        raise _damaged(path) from None
    if _sha(text) != digest:
        raise _damaged(path)
    return text


def _damaged(path: Path) -> DamagedRecordError:
    saw, mend = "a stored text of the book was altered", "restore the store from a copy"
    return DamagedRecordError(Problem(Place(files.shown(path)), "altered-snapshot", saw, mend=mend))
