"""One compiled book as a file: an SQLite database of rows, opened read-only and read as it is asked for.

A row is found by its kind (``causes``, ``rules``, ``weighing``, ...) and its key. The file holds data only.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any, TypeVar

from proveout.book.compiled.rows import packed, unpacked
from proveout.model.atom import Atom, Observable
from proveout.model.book import Book, Layout, OnlyFor, Predicate, Stage
from proveout.model.entries import (
    Access,
    Cause,
    Caution,
    CodeEntry,
    Component,
    GlossaryTerm,
    Inspection,
    Term,
    Tool,
    Vocabulary,
)
from proveout.model.rule import Rule
from proveout.model.specs import OwnFigures
from proveout.model.terms import Programme, Warranty
from proveout.model.urgency import Driving
from proveout.model.whereabouts import Whereabouts

#: The plain vocabularies: attribute of ``Vocabulary`` to the type of its entries.
_WORDS: Mapping[str, type] = {
    "symptoms": Term,
    "circumstances": Term,
    "recent_work": Term,
    "findings": Term,
    "components": Component,
    "tools": Tool,
    "access": Access,
    "cautions": Caution,
    "codes": CodeEntry,
    "warranties": Warranty,
    "programmes": Programme,
    "places": Whereabouts,
    "glossary": GlossaryTerm,
}
#: What is read whole when the file is opened, by key of the kind ``head``.
_HEAD: Mapping[str, Any] = {
    "own_figures": tuple[OwnFigures, ...],
    "driving": tuple[Driving, ...],
    "predicates": tuple[Predicate, ...],
    "only_for": tuple[OnlyFor, ...],
    "digest": str,
    "layers": tuple[str, ...],
    "findings": tuple[str, ...],
    "stages": tuple[tuple[bool, tuple[str, ...]], ...],
}
_IDS = tuple[str, ...]

_Key = TypeVar("_Key", bound="str | Atom | Observable")
_Value = TypeVar("_Value")


class _Rows(Mapping[_Key, _Value]):
    """The entries of one kind, each read and built when it is first asked for.

    Keys that are not plain text, such as atoms, are stored as their parts joined by a line break.
    """

    def __init__(
        self, source: sqlite3.Connection, kind: str, form: Any, key: type[Atom | Observable] | None = None
    ) -> None:
        self._source = source
        self._kind = kind
        self._form = form
        self._key = key
        self._read: dict[Any, Any] = {}
        self._keys: tuple[_Key, ...] | None = None

    def __getitem__(self, key: _Key) -> _Value:
        found = self._read.get(key)
        if found is None:
            sql = "SELECT row FROM entry WHERE kind = ? AND key = ?"
            row = self._source.execute(sql, (self._kind, _text(key))).fetchone()
            if row is None:
                raise KeyError(key)
            found = self._read[key] = self._build(row[0])
        return found  # type: ignore[no-any-return]

    def _build(self, data: bytes) -> Any:
        return unpacked(data, self._form)

    def __iter__(self) -> Iterator[_Key]:
        if self._keys is None:
            sql = "SELECT key FROM entry WHERE kind = ? ORDER BY key"
            texts = (text for (text,) in self._source.execute(sql, (self._kind,)))
            make = self._key
            self._keys = tuple(make(*text.split("\n")) if make else text for text in texts)  # type: ignore[misc]
        return iter(self._keys)

    def __len__(self) -> int:
        sql = "SELECT count(*) FROM entry WHERE kind = ?"
        return int(self._source.execute(sql, (self._kind,)).fetchone()[0])

    def __contains__(self, key: object) -> bool:
        if key in self._read:
            return True
        sql = "SELECT 1 FROM entry WHERE kind = ? AND key = ?"
        return self._source.execute(sql, (self._kind, _text(key))).fetchone() is not None


class _Users(_Rows[Atom, tuple[Rule, ...]]):
    """The rules that need an atom, stored as their ids."""

    def __init__(self, source: sqlite3.Connection, kind: str, rules: Mapping[str, Rule]) -> None:
        super().__init__(source, kind, _IDS, Atom)
        self._rules = rules

    def _build(self, data: bytes) -> Any:
        return tuple(self._rules[name] for name in super()._build(data))


def _text(key: object) -> str:
    return key if isinstance(key, str) else "\n".join(key)  # type: ignore[arg-type]


def write_book(book: Book, path: Path) -> None:
    """Write a book as a new file.

    Args:
        book: one that was laid out.
        path: a file that does not exist yet, or is empty.

    Raises:
        OSError: it cannot be written.
    """
    try:
        with closing(sqlite3.connect(path)) as target:
            target.execute("PRAGMA journal_mode = OFF")
            target.execute("PRAGMA synchronous = FULL")
            target.execute("CREATE TABLE entry (kind TEXT, key TEXT, row BLOB, PRIMARY KEY (kind, key))")
            target.executemany("INSERT INTO entry VALUES (?, ?, ?)", sorted(_all_rows(book)))
            target.commit()
    except sqlite3.Error as error:
        raise OSError(f"{path} cannot be written: {error}") from error


def _all_rows(book: Book) -> Iterator[tuple[str, str, bytes]]:
    """Spell everything that a book holds as rows."""
    assert book.layout is not None, "a compiled book is laid out"
    stages = [(stage.concluding, [rule.id for rule in stage.free]) for stage in book.layout.stages]
    yield from _rows("head", {"findings": book.layout.findings, "stages": stages})
    yield from _rows("head", {name: getattr(book, name) for name in _HEAD if hasattr(book, name)})
    for name in (
        "causes",
        "inspections",
        "rules",
        "stratum",
        "weighing",
        "weighed_in",
        "proved_by",
        "former",
    ):
        yield from _rows(name, getattr(book, name))
    for name in _WORDS:
        yield from _rows(name, getattr(book.words, name))
    for number, stage in enumerate(book.layout.stages):
        users = {atom: [rule.id for rule in rules] for atom, rules in stage.mentions.items()}
        yield from _rows(f"mentions-{number}", users)


def _rows(kind: str, entries: Mapping[Any, object]) -> Iterable[tuple[str, str, bytes]]:
    return ((kind, _text(key), packed(entry)) for key, entry in entries.items())


def open_book(path: Path) -> Book:
    """Return the book that a file holds; its entries are read as they are asked for.

    Raises:
        OSError: it cannot be read.
        BadInputError: it is no compiled book of this version.
    """
    try:
        source = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True)
        source.execute("PRAGMA trusted_schema = OFF")
        head = {key: unpacked(_head(source, key), form) for key, form in _HEAD.items()}
    except (sqlite3.Error, UnicodeDecodeError) as error:  # the second where a damaged name is to be told
        raise OSError(f"{path} cannot be read: {error}") from error
    rules: Mapping[str, Rule] = _Rows(source, "rules", Rule)
    words: dict[str, Any] = {name: _Rows(source, name, form) for name, form in _WORDS.items()}
    return Book(
        causes=_Rows(source, "causes", Cause),
        inspections=_Rows(source, "inspections", Inspection),
        rules=rules,
        words=Vocabulary(**words),
        own_figures=head["own_figures"],
        predicates=head["predicates"],
        stratum=_Rows(source, "stratum", int),
        layout=_layout(source, rules, head),
        weighing=_Rows(source, "weighing", _IDS, Observable),
        weighed_in=_Rows(source, "weighed_in", tuple[Observable, ...]),
        proved_by=_Rows(source, "proved_by", _IDS),
        former=_Rows(source, "former", str),
        driving=head["driving"],
        only_for=head["only_for"],
        digest=head["digest"],
        layers=head["layers"],
    )


def _head(source: sqlite3.Connection, key: str) -> bytes:
    row = source.execute("SELECT row FROM entry WHERE kind = 'head' AND key = ?", (key,)).fetchone()
    return row[0] if row and isinstance(row[0], bytes) else b""


def _layout(source: sqlite3.Connection, rules: Mapping[str, Rule], head: Mapping[str, Any]) -> Layout:
    stages = (
        Stage(
            mentions=_Users(source, f"mentions-{number}", rules),
            free=tuple(rules[name] for name in free),
            concluding=concluding,
        )
        for number, (concluding, free) in enumerate(head["stages"])
    )
    return Layout(tuple(stages), head["findings"])
