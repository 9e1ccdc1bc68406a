"""An index over a directory of case files, to list and find among a hundred thousand of them at once.

The files are the truth; the index is an SQLite file that can always be made anew from them, and is made anew
where it is damaged or of another version. ``refresh`` reads only files that are new or have changed in size,
time or number, and writes in one transaction. One file that cannot be read never keeps the others from being
listed.

The index lies in a directory of the user's own, never beside the cases: whoever hands over a directory of
cases must not be able to say what is in them. Where the user has no such directory it is made in memory each
time.
"""

from __future__ import annotations

import hashlib
import math
import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import get_type_hints

from msgspec import Struct
from msgspec.structs import fields

from proveout.model.problem import BadInputError, DamagedRecordError, Place, Problem
from proveout.record import files
from proveout.record.summary import Summary, summarise
from proveout.record.verify import check
from proveout.text.own import is_own_file, own_directory

#: Ends of the name of an index; before it stands the digest of the directory's real path.
SUFFIX = ".sqlite"
#: Held by whoever brings an index up to date.
LOCK_NAME = "lock"

#: What a damaged index raises: SQLite names what is damaged, and a damaged name need not be UTF-8.
_FAILED = (sqlite3.Error, UnicodeDecodeError)

_VERSION = 4
_COLUMNS = tuple(entry.name for entry in fields(Summary) if entry.name != "codes")
_TABLES = f"""
CREATE TABLE files(path BLOB PRIMARY KEY, mark TEXT, problem TEXT) WITHOUT ROWID;
CREATE TABLE cases(path BLOB PRIMARY KEY, {", ".join(_COLUMNS)}) WITHOUT ROWID;
CREATE TABLE codes(code TEXT, path BLOB, PRIMARY KEY(code, path)) WITHOUT ROWID;
CREATE TABLE whole(path BLOB PRIMARY KEY) WITHOUT ROWID;
CREATE INDEX by_code_of ON codes(path);
CREATE INDEX by_cause ON cases(cause);
CREATE INDEX by_last ON cases(last);
CREATE INDEX by_wrong ON cases(wrong_cost);
PRAGMA user_version = {_VERSION};
"""


class Refreshed(Struct, frozen=True):
    """What a refresh did: how many files were read, forgotten and left as they were, and what was wrong."""

    read: int
    forgotten: int
    unchanged: int
    problems: tuple[Problem, ...]


class Row(Struct, frozen=True):
    """One case in a list: its file within the directory, and its summary."""

    path: Path
    summary: Summary


class Query(Struct, frozen=True):
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

    def __init__(self, directory: Path, home: Path) -> None:
        """Name the directory of the cases, and the user's own one where indexes lie."""
        self._directory = directory
        self._home = home
        name = hashlib.sha256(os.fsencode(os.path.realpath(directory))).hexdigest()
        self._file = home / f"{name[:32]}{SUFFIX}"
        self._memory: sqlite3.Connection | None = None

    def refresh(self) -> Refreshed:
        """Bring the index up to date with the files.

        Raises:
            BadInputError: the directory cannot be read, or the index not written.
        """
        if not self._is_kept():
            return self._refresh()
        with files.held(self._home / LOCK_NAME):
            try:
                return self._refresh()
            except _DamagedIndexError:
                self._remove()
                return self._refresh()

    def _is_kept(self) -> bool:
        """Say whether the index can lie on the disk, in a directory that is only the user's."""
        if self._memory is not None:
            return False
        try:
            lock = own_directory(self._home) / LOCK_NAME
            if not is_own_file(lock):
                files.replace(lock, b"", begins=b"")
            return True
        except BadInputError:
            self._memory = sqlite3.connect(":memory:")
            self._memory.executescript(_TABLES)
            return False

    def _refresh(self) -> Refreshed:
        problems: list[Problem] = []
        found = dict(_case_files(self._directory, problems))
        with self._open() as base:
            known = dict(base.execute("SELECT path, mark FROM files"))
            gone = [path for path in known if path not in found]
            new = [path for path, mark in found.items() if known.get(path) != mark]
            for path in (*gone, *new):
                _forget(base, path)
            unread = [self._take(base, path, found[path]) for path in new]
            rows = base.execute("SELECT path, problem FROM files WHERE problem != '' ORDER BY path")
            known_bad = [_problem(self._directory, path, saw) for path, saw in rows]
        problems += [*known_bad, *(problem for problem in unread if problem)]
        return Refreshed(len(new), len(gone), len(found) - len(new), tuple(problems))

    def find(self, query: Query | None = None) -> tuple[Row, ...]:
        """Return the cases that a query asks for; call ``refresh`` before.

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

    def totals(self, query: Query | None = None) -> tuple[tuple[str, str, int, float, float, str], ...]:
        """Return (outcome or ``open``, cause, cases, cost of parts, wrong parts, currency), most cases first.

        Amounts of several currencies are never added up.
        """
        where, values = _where(query or Query())
        sql = (
            "SELECT CASE WHEN closed THEN outcome ELSE 'open' END AS state, cause, COUNT(*) AS cases, "
            f"SUM(parts_cost), SUM(wrong_cost), currency FROM cases{where} GROUP BY state, cause, currency "
            "ORDER BY cases DESC, state, cause, currency"
        )
        with self._open() as base:
            return tuple(base.execute(sql, values).fetchall())

    def check_closed(self) -> tuple[Problem, ...]:
        """Check the closed cases in full, advices too, and take out those whose record is damaged.

        Whoever counts how cases ended must not count what somebody altered. Each file is checked once as long
        as it does not change.

        Raises:
            BadInputError: the index cannot be read or written.
        """
        problems = []
        with self._open() as base:
            asked = "SELECT path FROM cases WHERE closed AND path NOT IN (SELECT path FROM whole)"
            for (path,) in base.execute(asked).fetchall():
                problem = _damage(self._directory / os.fsdecode(path))
                if problem is None:
                    base.execute("INSERT INTO whole VALUES (?)", (path,))
                    continue
                for table in ("cases", "codes"):
                    base.execute(f"DELETE FROM {table} WHERE path = ?", (path,))
                saw = f"{problem.place.line}: {problem.saw}"
                base.execute("UPDATE files SET problem = ? WHERE path = ?", (saw, path))
                problems.append(_problem(self._directory, path, saw))
        return tuple(problems)

    def _take(self, base: sqlite3.Connection, path: bytes, mark: str) -> Problem | None:
        """Read one file into the index; give the problem of one that cannot be read now but may be later."""
        full, saw = self._directory / os.fsdecode(path), ""
        try:
            summary = summarise(files.read(full), files.shown(full))
            values = [getattr(summary, name) for name in _COLUMNS]
            marks = ", ".join("?" * (len(values) + 1))
            base.execute(f"INSERT INTO cases VALUES ({marks})", (path, *values))
            base.executemany("INSERT OR IGNORE INTO codes VALUES (?, ?)", [(c, path) for c in summary.codes])
        except (BadInputError, DamagedRecordError) as error:
            first = error.problems[0]
            if first.check == "cannot-read":
                return first
            saw = "" if first.check == "no-case-file" else f"{first.place.line}: {first.saw}"
        base.execute("INSERT INTO files VALUES (?, ?, ?)", (path, mark, saw))
        return None

    def _row(self, base: sqlite3.Connection, row: Sequence[object]) -> Row:
        """Turn a row into typed values; an index that holds others is not believed."""
        path, *values = row
        codes = tuple(code for (code,) in base.execute("SELECT code FROM codes WHERE path = ?", (path,)))
        known = dict(zip(_COLUMNS, values, strict=True))
        typed = all(_is_of(_TYPES[name], value) for name, value in known.items())
        if not isinstance(path, bytes) or not typed or not all(isinstance(code, str) for code in codes):
            raise _DamagedIndexError(self._failed("a row is not as it was written", _ANEW))
        known["closed"] = bool(known["closed"])
        return Row(Path(os.fsdecode(path)), Summary(codes=codes, **known))  # type: ignore[arg-type]

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """Open the index in one transaction, making it anew where it is of no use."""
        try:
            if not self._is_kept() and self._memory is not None:
                with self._memory:
                    yield self._memory
                return
            if not _is_usable(self._file):
                self._make_anew()
            with closing(_connect(self._file)) as base, base:
                yield base
        except _FAILED as error:
            of_disk = isinstance(error, sqlite3.OperationalError)
            mend = "check the disk and run it again" if of_disk else _ANEW
            problem = self._failed(f"the index fails: {error}", mend)
            raise (BadInputError if of_disk else _DamagedIndexError)(problem) from error

    def _failed(self, saw: str, mend: str) -> Problem:
        return Problem(Place(files.shown(self._file)), "cannot-index", saw, mend=mend)

    def _remove(self) -> None:
        """Remove the index with what SQLite lays beside it."""
        for end in ("", "-journal", "-wal", "-shm"):
            files.remove(self._file.with_name(self._file.name + end))

    def _make_anew(self) -> None:
        """Put an empty index in the place of the old one."""
        self._remove()
        with closing(sqlite3.connect(":memory:")) as fresh:
            fresh.executescript(_TABLES)
            files.replace(self._file, fresh.serialize(), begins=b"")


_ANEW = "run it again; it is made anew then"
_TYPES = get_type_hints(Summary)


def _is_of(kind: type, value: object) -> bool:
    """Say whether a value of a row is of the type that it had when it was written."""
    if kind is float:
        return isinstance(value, int | float) and math.isfinite(value)
    return isinstance(value, int if kind is bool else kind)


def _connect(file: Path) -> sqlite3.Connection:
    """Open an index that exists."""
    return sqlite3.connect(f"{file.absolute().as_uri()}?mode=rw", uri=True, timeout=60)


def _is_usable(file: Path) -> bool:
    """Say whether the index is the user's own, of this version, and has our tables and nothing else."""
    if not is_own_file(file):
        return False
    asked = "SELECT type, name, sql FROM sqlite_master ORDER BY name"
    try:
        with closing(_connect(file)) as base, closing(sqlite3.connect(":memory:")) as fresh:
            fresh.executescript(_TABLES)
            (version,) = base.execute("PRAGMA user_version").fetchone()
            expected = fresh.execute(asked).fetchall()
            return bool(version == _VERSION) and base.execute(asked).fetchmany(99) == expected
    except _FAILED:
        return False


def _case_files(directory: Path, problems: list[Problem]) -> Iterator[tuple[bytes, str]]:
    """Return the YAML files below a directory, each with a mark that changes when it does.

    Hidden ones are passed by; complaints about what cannot be read go to ``problems``.

    Raises:
        BadInputError: the directory itself cannot be read.
    """
    root = os.fsencode(directory)
    ahead = [root]
    while ahead:
        here = ahead.pop()
        try:
            with os.scandir(here) as entries:
                inside = sorted(entries, key=lambda entry: entry.name)
        except (OSError, ValueError) as error:
            os_error = error if isinstance(error, OSError) else OSError(str(error))
            refusal = files.refused(Path(os.fsdecode(here)), "read", os_error)
            if here == root:
                raise refusal from error
            problems.extend(refusal.problems)
            continue
        for entry in inside:
            if entry.name.startswith(b"."):
                continue
            try:
                if entry.is_dir(follow_symlinks=False):
                    ahead.append(entry.path)
                elif entry.name.endswith(b".yaml") and entry.is_file():
                    yield entry.path[len(root) :].lstrip(b"/"), _mark(entry.stat())
            except OSError as error:
                problems.extend(files.refused(Path(os.fsdecode(entry.path)), "read", error).problems)


def _mark(status: os.stat_result) -> str:
    """Return what tells a file from what it was: also the time that nobody can set back."""
    parts = (status.st_size, status.st_mtime_ns, status.st_ctime_ns, status.st_dev, status.st_ino)
    return ".".join(map(str, parts))


def _forget(base: sqlite3.Connection, path: bytes) -> None:
    for table in ("files", "cases", "codes", "whole"):
        base.execute(f"DELETE FROM {table} WHERE path = ?", (path,))


def _damage(path: Path) -> Problem | None:
    """Return the first thing that is wrong with a case file, or None."""
    try:
        found = check(files.read(path), files.shown(path))
    except (BadInputError, DamagedRecordError) as error:
        return error.problems[0]
    return found.problems[0] if found.problems else None


def _problem(directory: Path, path: bytes, saw: str) -> Problem:
    line, _, said = saw.partition(": ")
    place = Place(files.shown(directory / os.fsdecode(path)), int(line) if line.isdigit() else 0, 1)
    return Problem(place, "not-indexed", said, mend="look closer: proveout audit")


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
