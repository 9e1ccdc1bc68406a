"""Snapshots of the rule book, so that an old advice can be replayed after the book has changed.

A snapshot is the text of every file of every layer, wherever the layers lay. The store is a directory:
``packs/`` holds each distinct text once, in packs of those that a book brought anew, compressed and named by
the SHA-256 of their bytes, so that keeping a book of hundreds of files writes two; ``books/`` holds a list of
the files of each book, named by the SHA-256 of that list, which is the snapshot's digest, and beside it the
names of the packs that hold their texts, so that a lost pack is noticed and filled again. Nothing else in it
is ever changed, and nothing in it is believed but by its digest and its shape.
"""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from proveout.book.draft import build
from proveout.book.files import Source, gather, lay
from proveout.book.making import compile_book
from proveout.book.raw import RawBook, assemble
from proveout.model.book import Book
from proveout.model.problem import BadInputError, DamagedRecordError, Place, Problem
from proveout.record import files
from proveout.text.canonical import canonical

#: Keeps these digests apart from any other use of SHA-256.
TAG = b"proveout/book-snapshot/1\0"

#: Most bytes that a pack may unfold into; a whole book has some 2 MB.
MAX_UNPACKED = 128 * 1024 * 1024

#: What names of files in the lowest layer begin with, as in the complaints about the shipped book.
BASE_SHOWN = "rules"


class Layer(Struct, frozen=True):
    """One directory of a book: its name in the book, and (path within it, text) in the book's order."""

    name: str
    files: tuple[tuple[str, bytes], ...]


class Snapshot(Struct, frozen=True):
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
    """Return the entries of a snapshot as located nodes.

    Raises:
        BadInputError: the texts do not make a book.
    """
    problems: list[Problem] = []
    raw = assemble(_sources(snapshot), problems, trusted=True)
    if problems:
        raise BadInputError(*problems)
    return raw


def book_of(snapshot: Snapshot) -> Book:
    """Compile the book of a snapshot; it was checked before it was used, and only its shape is checked again.

    Raises:
        BadInputError: the texts do not make a book, as after an update of the program, or in a stranger's
        store.
    """
    problems: list[Problem] = []
    names = tuple(layer.name for layer in snapshot.layers)
    try:
        draft = build(entries(snapshot), problems)
        if not problems:
            return compile_book(draft, names)
    except (AttributeError, KeyError, TypeError, ValueError, IndexError):
        # No text that was ever checked gets here; the full check says what is wrong with one that was not.
        assemble(_sources(snapshot), problems)
        if not problems:
            raise
    raise BadInputError(*problems)


def keep(store: Path, snapshot: Snapshot) -> str:
    """Put a snapshot into the store, which is made where missing, and give its digest.

    Packs that were lost or altered are filled again.

    Raises:
        BadInputError: the store cannot be written.
    """
    listing = _listing(snapshot)
    digest = _digest(listing)
    book = store / "books" / f"{digest}.json"
    if book.exists() and _has_packs(store, digest):
        return digest
    for name in ("packs", "books"):
        files.make_directory(store / name)
    texts = {_sha(text): text for layer in snapshot.layers for _, text in layer.files}
    packs = set()
    for path in _packs_in(store):
        try:
            held = _unpacked(path).keys() & texts.keys()
        except (BadInputError, DamagedRecordError):
            continue
        if held:
            packs.add(path.stem)
            texts = {name: text for name, text in texts.items() if name not in held}
    packs |= _keep_pack(store, texts)
    _put(book, listing)
    _put(book.with_suffix(".packs"), "".join(f"{name}\n" for name in sorted(packs)).encode())
    return digest


def load(store: Path, digest: str) -> Snapshot:
    """Take a snapshot out of the store; every text is checked against its digest.

    Raises:
        BadInputError: it is not there or cannot be read.
        DamagedRecordError: a file of the store was altered or lost.
    """
    path = store / "books" / f"{digest}.json"
    if not re.fullmatch("[0-9a-f]{64}", digest) or not path.exists():
        saw, mend = f"no snapshot {digest[:12]} of the book", "copy the store from where the advice was given"
        raise BadInputError(Problem(Place(files.shown(store)), "no-snapshot", saw, mend=mend))
    listing = files.read(path)
    if _digest(listing) != digest:
        raise _damaged(path)
    layers = _layers_of(path, listing)
    texts = _texts(store, {text for _, listed in layers for _, text in listed})
    return Snapshot(
        tuple(Layer(name, tuple((at, texts[text]) for at, text in listed)) for name, listed in layers)
    )


def _layers_of(path: Path, listing: bytes) -> list[tuple[str, list[tuple[str, str]]]]:
    """Read a list of files: of each layer its name, and of each file its name and the digest of its text.

    Raises:
        DamagedRecordError: it is no such list, whoever wrote it.
    """
    try:
        layers = json.loads(listing)["layers"]
        found = [(layer["name"], [(name, text) for name, text in layer["files"]]) for layer in layers]
    except (ValueError, KeyError, TypeError, RecursionError):
        raise _damaged(path) from None
    named = [text for name, listed in found for text in (name, *(part for pair in listed for part in pair))]
    if not found or not all(isinstance(text, str) for text in named):
        raise _damaged(path)
    return found


def _sources(snapshot: Snapshot) -> list[Source]:
    """Return the texts as a book reads them, named as if the layers lay in the current directory."""
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
    return canonical({"layers": layers})


def _digest(listing: bytes) -> str:
    return _sha(TAG + listing)


def _sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _has_packs(store: Path, digest: str) -> bool:
    """Say whether the packs that hold a kept book's texts are there."""
    try:
        names = files.read(store / "books" / f"{digest}.packs").decode("ascii", "replace").split()
    except BadInputError:
        return False
    return bool(names) and all((store / "packs" / f"{name[:64]}.z").is_file() for name in names)


def _keep_pack(store: Path, texts: Mapping[str, bytes]) -> set[str]:
    """Write texts that no pack holds yet, by their digests, as one pack, and give its name."""
    if not texts:
        return set()
    # Level 9 takes thrice the time and makes it 3 % smaller.
    packed = zlib.compress(canonical({name: text.decode() for name, text in texts.items()}), 5)
    _put(store / "packs" / f"{_sha(packed)}.z", packed)
    return {_sha(packed)}


def _put(path: Path, data: bytes) -> None:
    """Put a file into the store, where its name says what it must hold."""
    if not path.is_file() or files.read(path) != data:
        files.replace(path, data, begins=b"")


def _packs_in(store: Path) -> list[Path]:
    return sorted((store / "packs").glob("*.z"))


def _texts(store: Path, wanted: set[str]) -> dict[str, bytes]:
    """Return the wanted texts by their digests; every pack and every text is checked.

    Raises:
        DamagedRecordError: a pack was altered, or is lost.
    """
    found: dict[str, bytes] = {}
    damaged = store / "packs"
    for path in _packs_in(store):
        if wanted <= found.keys():
            break
        try:
            texts = _unpacked(path)
        except DamagedRecordError:
            damaged = path
            continue
        found.update({name: text for name, text in texts.items() if name in wanted})
    if wanted - found.keys():
        raise _damaged(damaged)
    return found


def _unpacked(path: Path) -> dict[str, bytes]:
    """Return the texts of a pack by their digests.

    Raises:
        DamagedRecordError: it is not what its name says, no pack, or would unfold without end.
    """
    packed = files.read(path)
    if _sha(packed) != path.stem:
        raise _damaged(path)
    unpacker = zlib.decompressobj()
    try:
        content = json.loads(unpacker.decompress(packed, MAX_UNPACKED))
        texts = {name: text.encode() for name, text in content.items()}
    except (zlib.error, ValueError, AttributeError, RecursionError):
        raise _damaged(path) from None
    if any(_sha(text) != name for name, text in texts.items()):
        raise _damaged(path)
    return texts


def _damaged(path: Path) -> DamagedRecordError:
    saw, mend = "a stored text of the book was altered or lost", "restore the store from a copy"
    return DamagedRecordError(Problem(Place(files.shown(path)), "altered-snapshot", saw, mend=mend))
