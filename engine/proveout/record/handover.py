"""A case in one file that can be checked anywhere: the record, every book of it, the program's version.

The file is a ZIP archive: ``handover.json`` says what is in it, ``case.yaml`` is the case file byte for byte,
and below ``store/`` lies a store of book snapshots as ``snapshot`` keeps it. Nothing in it is believed but by
the digests of the case file: what it says of itself is only shown.
"""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from msgspec import Struct

from proveout.model.problem import BadInputError, Place, Problem
from proveout.record import files, snapshot
from proveout.record.scratch import scratch
from proveout.record.snapshot import Snapshot

SCHEMA = "proveout/handover/1"
BEGINS = b"PK\x03\x04"
_ABOUT, _CASE = "handover.json", "case.yaml"
_NAME = re.compile(r"store/(books/[0-9a-f]{64}\.(json|packs)|packs/[0-9a-f]{64}\.z)")
#: Most members, and most bytes of all of them unpacked.
MOST_MEMBERS, MOST_BYTES = 2000, 256 * 1024 * 1024


class Handed(Struct, frozen=True):
    """A case that was handed over.

    Attributes:
        case: the bytes of the case file.
        name: that it had.
        version: of the program that wrote the archive, as it says.
        store: a directory with the books, as long as it is open.
    """

    case: bytes
    name: str
    version: str
    store: Path


def is_handover(path: Path) -> bool:
    """Say whether a file begins as an archive.

    Raises:
        BadInputError: it cannot be read.
    """
    return files.read(path).startswith(BEGINS)


def packed(case: bytes, name: str, version: str, books: Iterable[Snapshot]) -> bytes:
    """Return an archive of a case; the same input gives the same bytes.

    Args:
        case: the bytes of the case file.
        name: the case file's, to be shown.
        version: of the program.
        books: that its advices rest on.

    Raises:
        BadInputError: the machine has no room for it.
    """
    with scratch() as home:
        store = home / "store"
        kept = sorted({snapshot.keep(store, book) for book in books})
        about = {"schema": SCHEMA, "program": f"proveout {version}", "case": name, "books": kept}
        members = {_ABOUT: json.dumps(about, indent=2).encode() + b"\n", _CASE: case}
        for path in sorted(store.rglob("*")):
            if path.is_file():
                members[f"store/{path.relative_to(store).as_posix()}"] = files.read(path)
    return _zipped(members)


def _zipped(members: Mapping[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in members.items():
            entry = zipfile.ZipInfo(name)  # with no time of its own, so that the same gives the same
            entry.compress_type = zipfile.ZIP_STORED if name.endswith(".z") else zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    return out.getvalue()


@contextmanager
def unpacked(path: Path) -> Iterator[Handed]:
    """Open an archive; its books lie in a directory of their own until it is left.

    Raises:
        BadInputError: it cannot be read, is no such archive, or is larger than any of ours.
    """
    members = _members(path)
    if _CASE not in members:
        raise _refused(path, "an archive without a case in it")
    name, version = _about(members.get(_ABOUT, b""))
    with scratch() as home:
        store = home / "store"
        for part in ("books", "packs"):
            (store / part).mkdir(parents=True)
        for member, data in members.items():
            if _NAME.fullmatch(member):
                (home / member).write_bytes(data)
        yield Handed(members[_CASE], name, version, store)


def _about(data: bytes) -> tuple[str, str]:
    """Return what an archive says of its case's name and of the program that wrote it."""
    try:
        about = json.loads(data)
        return str(about.get("case", ""))[:300], str(about.get("program", ""))[:100]
    except (ValueError, AttributeError, RecursionError):
        return "", ""


def _members(path: Path) -> dict[str, bytes]:
    """Read the members that are ours, within bounds, whatever an archive says of their sizes."""
    found: dict[str, bytes] = {}
    left = MOST_BYTES
    try:
        with zipfile.ZipFile(io.BytesIO(files.read(path))) as archive:
            for entry in archive.infolist()[: MOST_MEMBERS + 1]:
                if entry.filename not in (_ABOUT, _CASE) and not _NAME.fullmatch(entry.filename):
                    continue
                if len(found) >= MOST_MEMBERS or entry.filename in found:
                    raise _refused(path, "more in it than one case can have")
                with archive.open(entry) as member:
                    data = member.read(left + 1)
                left -= len(data)
                if left < 0:
                    raise _refused(path, "more in it than one case can have")
                found[entry.filename] = data
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, ValueError, OSError) as error:
        raise _refused(path, f"an archive that cannot be read: {str(error)[:200]}") from error
    except Exception as error:  # zlib, lzma and bz2 each have an error of their own
        if isinstance(error, BadInputError):
            raise
        raise _refused(path, f"an archive that cannot be read: {str(error)[:200]}") from error
    return found


def _refused(path: Path, saw: str) -> BadInputError:
    expected = "a file made by: proveout audit CASE --export FILE"
    return BadInputError(Problem(Place(files.shown(path)), "no-handover", saw, expected, "ask for it anew"))
