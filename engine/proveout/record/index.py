"""An index over a directory of case files, to list and find among a hundred thousand of them at once.

The files are the truth; the index is an SQLite file that can always be made anew from them, and is made anew
where it is damaged or of another version. ``refresh`` reads only files that are new or have changed in size
or time, and writes in one transaction.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, fields
from pathlib import Path

from proveout.model.problem import BadInputError, Place, Problem
from proveout.record import files
from proveout.record.summary import Summary, summarise

#: Name of the index in the directory of the case files, where no other place is asked for.
INDEX_NAME = ".proveout-index.sqlite"

_VERSION = 1
_COLUMNS = tuple(entry.name for entry in fields(Summary) if entry.name != "codes")
_TABLES = f"""
CREATE TABLE files(path BLOB PRIMARY KEY, size INTEGER, changed INTEGER, problem TEXT) WITHOUT ROWID;
CREATE TABLE cases(path BLOB PRIMARY KEY, {", ".join(_COLUMNS)}) WITHOUT ROWID;
CREATE TABLE codes(code TEXT, path BLOB, PRIMARY KEY(code, path)) WITHOUT ROWID;
CREATE INDEX by_code_of ON codes(path);
CREATE INDEX by_cause ON cases(cause);
CREATE INDEX by_last ON cases(last);
CREATE INDEX by_wrong ON cases(wrong_cost);
PRAGMA user_version = {_VERSION};
"""


@dataclass(frozen=True, slots=True)
class Refreshed:
    """What a refresh did: how many files were read, forgotten and left as they were, and what was wrong."""

    read: int
    forgotten: int
    unchanged: int
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One case in a list: its file within the directory, and its summary."""

    path: Path
    summary: Summary


@dataclass(frozen=True, slots=True)
class Query:
    """What to look for; what is left out does not count.

    Attributes:
        vehicle: words that all stand in the title, the vehicle or the file's name.
        code, cause: exactly these.
        closed: ended or not.
        outcome: how it ended.
        wrong_cost: at least this much was spent on wrong parts.
        order: ``last``, ``opened``, ``wrong_cost`` or ``parts_cost``, the largest first.
        limit: most rows.
    """

    vehicle: str = ""
    code: str = ""
    cause: str = ""
    closed: bool | None = None
    outcome: str = ""
    wrong_cost: float | None = None
    order: str = "last"
    limit: int = 1000


class _DamagedIndexError(BadInputError):
    """The index is damaged, so that it must be made anew."""


class CaseIndex:
    """An index of the case files below a directory."""

    def __init__(self, directory: Path, file: Path | None = None) -> None:
        """Name the directory, and the index's file where it is not to lie in it."""
        self._directory = directory
        self._file = file or directory / INDEX_NAME

    def refresh(self) -> Refreshed:
        """Bring the index up to date with the files.

        Raises:
            BadInputError: the directory cannot be read, or the index not written.
        """
        try:
            return self._refresh()
        except _DamagedIndexError:
            files.remove(self._file)
            return self._refresh()

    def _refresh(self) -> Refreshed:
        found = dict(_case_files(self._directory))
        with self._open() as base:
            known = {
                path: (size, at) for path, size, at in base.execute("SELECT path, size, changed FROM files")
            }
            gone = [path for path in known if path not in found]
            new = [path for path, mark in found.items() if known.get(path) != mark]
            for path in (*gone, *new):
                _forget(base, path)
            unread = [self._take(base, path, found[path]) for path in new]
            rows = base.execute("SELECT path, problem FROM files WHERE problem != '' ORDER BY path")
            known_bad = [_problem(self._directory, path, saw) for path, saw in rows]
        problems = (*known_bad, *(problem for problem in unread if problem))
        return Refreshed(len(new), len(gone), len(found) - len(new), problems)

    def find(self, query: Query | None = None) -> tuple[Row, ...]:
        """Give the cases that a query asks for; call ``refresh`` before.

        Raises:
            BadInputError: the order is unknown, or the index cannot be read.
        """
        query = query or Query()
        if query.order not in ("last", "opened", "wrong_cost", "parts_cost"):
            expected = "last, opened, wrong_cost or parts_cost"
            raise BadInputError(Problem(Place(""), "unknown-order", f"the order '{query.order}'", expected))
        where, values = _where(query)
        columns = ", ".join(_COLUMNS)
        sql = f"SELECT path, {columns} FROM cases{where} ORDER BY {query.order} DESC, path LIMIT ?"
        with self._open() as base:
            rows = base.execute(sql, (*values, query.limit)).fetchall()
            return tuple(self._row(base, row) for row in rows)

    def totals(self, query: Query | None = None) -> tuple[tuple[str, str, int, float, float], ...]:
        """Give (outcome or ``open``, cause, cases, cost of parts, cost of wrong parts), most cases first."""
        where, values = _where(query or Query())
        sql = (
            "SELECT CASE WHEN closed THEN outcome ELSE 'open' END AS state, cause, COUNT(*) AS cases, "
            f"SUM(parts_cost), SUM(wrong_cost) FROM cases{where} GROUP BY state, cause "
            "ORDER BY cases DESC, state, cause"
        )
        with self._open() as base:
            return tuple(base.execute(sql, values).fetchall())

    def _take(self, base: sqlite3.Connection, path: bytes, mark: tuple[int, int]) -> Problem | None:
        """Read one file into the index; give the problem of one that cannot be read now but may be later."""
        full, saw = self._directory / os.fsdecode(path), ""
        try:
            summary = summarise(files.read(full), files.shown(full))
            values = [getattr(summary, name) for name in _COLUMNS]
            marks = ", ".join("?" * (len(values) + 1))
            base.execute(f"INSERT INTO cases VALUES ({marks})", (path, *values))
            base.executemany("INSERT OR IGNORE INTO codes VALUES (?, ?)", [(c, path) for c in summary.codes])
        except BadInputError as error:
            first = error.problems[0]
            if first.check == "cannot-read":
                return first
            saw = "" if first.check == "no-case-file" else first.saw
        base.execute("INSERT INTO files VALUES (?, ?, ?, ?)", (path, *mark, saw))
        return None

    @staticmethod
    def _row(base: sqlite3.Connection, row: Sequence[object]) -> Row:
        path, *values = row
        codes = tuple(code for (code,) in base.execute("SELECT code FROM codes WHERE path = ?", (path,)))
        known = dict(zip(_COLUMNS, values, strict=True))
        known["closed"] = bool(known["closed"])
        assert isinstance(path, bytes)
        return Row(Path(os.fsdecode(path)), Summary(codes=codes, **known))  # type: ignore[arg-type]

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """Open the index in one transaction, making it anew where it is of no use."""
        try:
            if not _is_usable(self._file):
                self._make_anew()
            with closing(sqlite3.connect(self._file, timeout=60)) as base, base:
                yield base
        except sqlite3.Error as error:
            of_disk = isinstance(error, sqlite3.OperationalError)
            mend = "check the disk and run it again" if of_disk else "refresh it; it is made anew then"
            place, saw = Place(files.shown(self._file)), f"the index fails: {error}"
            problem = Problem(place, "cannot-index", saw, mend=mend)
            raise (BadInputError if of_disk else _DamagedIndexError)(problem) from error

    def _make_anew(self) -> None:
        """Make an empty index beside the old one and put it in its place."""
        with files.locked(self._file.parent):
            if _is_usable(self._file):
                return
            fresh = sqlite3.connect(":memory:")
            with closing(fresh):
                fresh.executescript(_TABLES)
                image = fresh.serialize()
            for end in ("-journal", "-wal", "-shm"):
                files.remove(self._file.with_name(self._file.name + end))
            files.replace(self._file, image)


def _is_usable(file: Path) -> bool:
    """Say whether the index is one of this version and whole enough to be read."""
    if not file.exists():
        return False
    try:
        with closing(sqlite3.connect(file)) as base:
            (version,) = base.execute("PRAGMA user_version").fetchone()
            return bool(version == _VERSION)
    except sqlite3.Error:
        return False


def _case_files(directory: Path) -> Iterator[tuple[bytes, tuple[int, int]]]:
    """Give the YAML files below a directory with size and time of change; hidden ones are passed by."""
    root = os.fsencode(directory)
    ahead = [root]
    while ahead:
        here = ahead.pop()
        try:
            with os.scandir(here) as entries:
                for entry in entries:
                    if entry.name.startswith(b"."):
                        continue
                    if entry.is_dir(follow_symlinks=False):
                        ahead.append(entry.path)
                    elif entry.name.endswith(b".yaml") and entry.is_file():
                        status = entry.stat()
                        name = entry.path[len(root) :].lstrip(b"/")
                        yield name, (status.st_size, status.st_mtime_ns)
        except OSError as error:
            raise files.refused(Path(os.fsdecode(here)), "read", error) from error


def _forget(base: sqlite3.Connection, path: bytes) -> None:
    for table in ("files", "cases", "codes"):
        base.execute(f"DELETE FROM {table} WHERE path = ?", (path,))


def _problem(directory: Path, path: bytes, saw: str) -> Problem:
    return Problem(Place(files.shown(directory / os.fsdecode(path))), "not-indexed", saw)


def _where(query: Query) -> tuple[str, list[object]]:
    """Turn a query into the condition of an SQL statement and its values."""
    terms: list[tuple[str, object]] = []
    for word in query.vehicle.split():
        escaped = "%" + word.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_") + "%"
        text = "title || ' ' || vehicle || ' ' || CAST(path AS TEXT)"
        terms.append((f"{text} LIKE ? ESCAPE '\\'", escaped))
    if query.code:
        terms.append(("path IN (SELECT path FROM codes WHERE code = ?)", query.code.upper()))
    if query.cause:
        terms.append(("cause = ?", query.cause))
    if query.closed is not None:
        terms.append(("closed = ?", query.closed))
    if query.outcome:
        terms.append(("outcome = ?", query.outcome))
    if query.wrong_cost is not None:
        terms.append(("wrong_cost >= ?", query.wrong_cost))
    condition = " AND ".join(term for term, _ in terms)
    return (f" WHERE {condition}" if condition else ""), [value for _, value in terms]
