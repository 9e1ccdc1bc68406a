"""Where compiled books are kept, and how one is found again.

A file's name says what it was made from and what it holds: ``<key>-<digest>.book``. The key is a digest of
every text, schema and line of code that went into it; the digest is that of the file itself, so that a torn
or altered file does not answer to its name. A directory that somebody else owns or may write is not used.

Reading every text to compute the key takes longer than all the rest, so the names, sizes and times of the
files are noted together with it under ``seen/``. A file changed so lately that its time might not show a
further change is not noted, as git does with its index.
"""

from __future__ import annotations

import hashlib
import os
import stat
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

#: Ending of a compiled book.
SUFFIX = ".book"
#: Compiled books and notes that are kept; the oldest are removed.
MOST_BOOKS, MOST_NOTES = 12, 64
#: A file changed within this many seconds might change again without its time showing it.
RACY = 2.0


class Shelf(Struct, frozen=True):
    """A directory of compiled books.

    Attributes:
        home: the directory; made when something is put there.
        ours: whether it is the user's own cache, of which owner and mode are asked; the one that comes with
            the program is trusted as the program is.
        most_notes: notes that are kept; the oldest are removed.
    """

    home: Path
    ours: bool = True
    most_notes: int = MOST_NOTES

    def find(self, key: str) -> Path | None:
        """Return the sound file made from ``key``, or None."""
        if not self.is_trusted():
            return None
        for path in sorted(self.home.glob(f"{key}-*{SUFFIX}")):
            if self._is_plain(path) and path.stem == f"{key}-{_digest(path)}":
                return path
            if self.ours:  # torn or altered; it can be made again
                _remove(path)
        return None

    def put(self, key: str, write: Callable[[Path], None]) -> Path | None:
        """Let ``write`` make a file, put it on the shelf whole or not at all, and return where it is.

        Returns None where the directory cannot be used.
        """
        try:
            self.home.mkdir(mode=0o700, parents=True, exist_ok=True)
            if not self.is_trusted():
                return None
            handle, name = _new_file(self.home)
            os.close(handle)
            temporary = Path(name)
            try:
                write(temporary)
                final = self.home / f"{key}-{_digest(temporary)}{SUFFIX}"
                temporary.replace(final)
            finally:
                _remove(temporary)
        except OSError:
            return None
        _prune(self.home.glob(f"*{SUFFIX}"), MOST_BOOKS)
        return final

    def noted(self, stamp: str) -> str:
        """Return the key that was noted for files of that stamp, or an empty text."""
        path = self.home / "seen" / stamp
        try:
            return path.read_text("utf-8") if self.is_trusted() and self._is_plain(path) else ""
        except (OSError, UnicodeDecodeError):
            return ""

    def note(self, stamp: str, key: str, latest: int) -> None:
        """Note the key of files of that stamp, the latest of which was changed at ``latest`` (ns).

        Files changed just now are not noted; where the note cannot be written it is done without.
        """
        if time.time_ns() - latest < RACY * 1e9:
            return
        seen = self.home / "seen"
        with suppress(OSError):
            self.home.mkdir(mode=0o700, parents=True, exist_ok=True)
            if not self.is_trusted():
                return
            seen.mkdir(mode=0o700, exist_ok=True)
            handle, name = _new_file(seen)
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(key)
            Path(name).replace(seen / stamp)
            _prune(seen.iterdir(), self.most_notes)

    def is_trusted(self) -> bool:
        """Say whether nobody but the user can have written what lies here."""
        if not self.ours:
            return True
        try:
            state = self.home.lstat()
        except OSError:
            return False
        return stat.S_ISDIR(state.st_mode) and _is_own(state)

    def _is_plain(self, path: Path) -> bool:
        """Say whether a path is a plain file that nobody else can have written."""
        try:
            state = path.lstat()
        except OSError:
            return False
        return stat.S_ISREG(state.st_mode) and (not self.ours or _is_own(state))


def _new_file(home: Path) -> tuple[int, str]:
    """Open a new file under a name that nobody can guess; return its handle and name."""
    import tempfile

    return tempfile.mkstemp(dir=home, prefix=".new-")


def _is_own(state: os.stat_result) -> bool:
    """Say whether a file or directory is the user's and nobody else may write it."""
    if not hasattr(os, "geteuid"):  # a system without owners in this sense
        return True
    return state.st_uid == os.geteuid() and not state.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


def _digest(path: Path) -> str:
    """Return the SHA-256 of a file in hex, or an empty text where it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def _remove(path: Path) -> None:
    with suppress(OSError):
        path.unlink(missing_ok=True)


def _prune(paths: Iterable[Path], most: int) -> None:
    """Remove all but the latest of some files."""
    with suppress(OSError):
        for path in sorted(paths, key=lambda one: -one.stat().st_mtime_ns)[most:]:
            _remove(path)
