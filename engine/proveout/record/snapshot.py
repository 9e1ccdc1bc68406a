"""Snapshots of the rule book, so that an old advice can be replayed after the book has changed.

A snapshot is the text of every file of every layer, wherever the layers lay. The store is a directory:
``packs/`` holds each distinct text once, in packs of those that a book brought anew, compressed and named by
the SHA-256 of their bytes, so that keeping a book of hundreds of files writes two; ``books/`` holds a list of
the files of each book, named by the SHA-256 of that list, which is the snapshot's digest. Nothing in it is
ever changed.
"""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import rfc8785

from proveout.book.draft import build
from proveout.book.files import Source, gather, lay
from proveout.book.making import compile_book
from proveout.book.raw import RawBook, assemble
from proveout.model.book import Book
from proveout.model.problem import BadInputError, DamagedRecordError, Place, Problem
from proveout.record import files

#: Keeps these digests apart from any other use of SHA-256.
TAG = b"proveout/book-snapshot/1\0"

#: What names of files in the lowest layer begin with, as in the complaints about the shipped book.
BASE_SHOWN = "rules"


@dataclass(frozen=True, slots=True)
class Layer:
    """One directory of a book: its name in the book, and (path within it, text) in the book's order."""

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
        directories: the lowest layer, then those laid over it, in order.

    Raises:
        BadInputError: a directory or file cannot be read.
    """
    problems: list[Problem] = []
    found = []
    for layer in lay(directories[0], directories[1:]):
        sources = gather(layer, problems)
        found.append(
            Layer(layer.name, tuple((one.name[len(layer.shown) + 1 :], one.data) for one in sources))
        )
    if problems:
        raise BadInputError(*problems)
    return Snapshot(tuple(found))


def entries(snapshot: Snapshot) -> RawBook:
    """Give the entries of a snapshot as located nodes.

    Raises:
        BadInputError: the texts do not make a book.
    """
    problems: list[Problem] = []
    raw = assemble(_sources(snapshot), problems, trusted=True)
    if problems:
        raise BadInputError(*problems)
    return raw


def book_of(snapshot: Snapshot) -> Book:
    """Compile the book of a snapshot; it was checked before it was used, and is not checked again.

    Raises:
        BadInputError: the texts do not make a book, as after an update of the program.
    """
    problems: list[Problem] = []
    draft = build(entries(snapshot), problems)
    if problems:
        raise BadInputError(*problems)
    return compile_book(draft, tuple(layer.name for layer in snapshot.layers))


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
    files.make_directory(store)
    with files.locked(store):
        for name in ("packs", "books"):
            files.make_directory(store / name)
        texts = {_sha(text): text for layer in snapshot.layers for _, text in layer.files}
        known = _texts(store, set(texts))
        _keep_pack(store, {name: text for name, text in texts.items() if name not in known})
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
    wanted = {text for layer in layers for _, text in layer["files"]}
    texts = _texts(store, wanted)
    if wanted - texts.keys():
        raise _damaged(store / "packs")
    return Snapshot(
        tuple(
            Layer(layer["name"], tuple((name, texts[text]) for name, text in layer["files"]))
            for layer in layers
        )
    )


def _sources(snapshot: Snapshot) -> list[Source]:
    """Give the texts as a book reads them, named as if the layers lay in the current directory."""
    found = []
    for number, layer in enumerate(snapshot.layers):
        shown = layer.name if number else BASE_SHOWN
        for name, text in layer.files:
            found.append(Source(layer.name, f"{shown}/{name}", text))
    return found


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


def _keep_pack(store: Path, texts: Mapping[str, bytes]) -> None:
    """Write texts that no pack holds yet, by their digests, as one pack."""
    if not texts:
        return
    packed = zlib.compress(rfc8785.dumps({name: text.decode() for name, text in texts.items()}), 9)
    files.replace(store / "packs" / f"{_sha(packed)}.z", packed)


def _texts(store: Path, wanted: set[str]) -> dict[str, bytes]:
    """Give those of the wanted texts that the packs hold, by their digests; every pack is checked.

    Raises:
        DamagedRecordError: a pack was altered.
    """
    found: dict[str, bytes] = {}
    for path in sorted((store / "packs").glob("*.z")):
        if wanted <= found.keys():
            break
        packed = files.read(path)
        if _sha(packed) != path.stem:
            raise _damaged(path)
        texts = json.loads(zlib.decompress(packed))
        found.update({name: text.encode() for name, text in texts.items() if name in wanted})
    return found


def _damaged(path: Path) -> DamagedRecordError:
    saw, mend = "a stored text of the book was altered", "restore the store from a copy"
    return DamagedRecordError(Problem(Place(files.shown(path)), "altered-snapshot", saw, mend=mend))
