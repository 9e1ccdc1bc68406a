"""The directory of cases: names that come from a browser, and the files that may be meant by them."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from pathlib import Path

from proveout.app.places import cache_dir
from proveout.model.problem import BadInputError
from proveout.record import casefile
from proveout.record.index import CaseIndex, Query, Row

#: What a case may be called: no separator, no dot in front, nothing that hides or moves characters.
_NAME = re.compile(r"[^\W_](?:[\w .,+()-]{0,98}[\w)])?")
_MOST_LISTED = 60


class Folder:
    """The case files that lie directly in one directory; links are not followed."""

    def __init__(self, directory: Path) -> None:
        """Take the directory."""
        self._directory = directory
        self._index = CaseIndex(directory, cache_dir() / "indexes")

    def path(self, name: str) -> Path | None:
        """Return the case file of a name, or None where there is none."""
        if not _NAME.fullmatch(name):
            return None
        path = self._directory / name
        try:
            usable = path.parent == self._directory and not path.is_symlink() and path.is_file()
            return path if usable and casefile.is_case(path) else None
        except (OSError, ValueError, BadInputError):
            return None

    def new(self, called: str, day: str, mark: str) -> Path:
        """Return where a new case goes; the same mark gives the same place.

        Args:
            called: what it is called, in free words.
            day: as 2031-05-04.
            mark: of whoever opens it.
        """
        plain = unicodedata.normalize("NFKD", called).encode("ascii", "ignore").decode()
        words = "-".join(re.findall(r"[a-z0-9]+", plain.casefold()))[:40].strip("-") or "case"
        tail = hashlib.sha256(mark.encode()).hexdigest()[:10]
        return self._directory / f"{day}-{words}-{tail}.yaml"

    def rows(self, words: str = "") -> tuple[Row, ...]:
        """Return the cases, the latest first; with words only those that hold them.

        Raises:
            BadInputError: the directory cannot be read.
        """
        self._index.refresh()
        found = self._index.find(Query(vehicle=words, limit=5 * _MOST_LISTED))
        direct = (row for row in found if len(row.path.parts) == 1 and _NAME.fullmatch(row.path.name))
        return tuple(direct)[:_MOST_LISTED]
