"""The book narrowed to the vehicle of a case: causes and inspections that it cannot have are left out.

Narrowing is done once, before a case is weighed and planned, so that everything after it sees one book.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeVar

from msgspec.structs import replace

from proveout.model.atom import RESULT, Observable
from proveout.model.book import Book, OnlyFor
from proveout.model.case import Sheet
from proveout.model.entries import Cause, Inspection
from proveout.model.rule import Rule

V = TypeVar("V")


class _Seen(Mapping[str, V]):
    """The entries of one kind, each narrowed when it is first asked for."""

    def __init__(self, entries: Mapping[str, V], narrowed: Callable[[V], V]) -> None:
        self._entries, self._narrowed = entries, narrowed
        self._made: dict[str, V] = {}

    def __getitem__(self, key: str) -> V:
        if key not in self._made:
            self._made[key] = self._narrowed(self._entries[key])
        return self._made[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._entries)

    def __len__(self) -> int:
        return len(self._entries)

    def __contains__(self, key: object) -> bool:
        return key in self._entries


#: The last few narrowed books with what they were made from: weighing and planning ask for the same ones.
_RECENT: list[tuple[Book, frozenset[str], frozenset[str], Book]] = []
_KEPT = 4


def fitted(book: Book, sheet: Sheet) -> Book:
    """Return the book as it holds for the vehicle of a case; the book itself where nothing is left out.

    What the vehicle cannot have is neither weighed nor offered, and nothing asks for it. An inspection that
    was recorded all the same goes on speaking for the causes that are left. Unknown counts as fitting.
    """
    causes = frozenset(one.id for one in book.only_for if one.kind == "causes" and _unfit(one, sheet))
    checks = frozenset(one.id for one in book.only_for if one.kind == "inspections" and _unfit(one, sheet))
    if not causes and not checks:
        return book
    for whole, no_causes, no_checks, made in _RECENT:
        if whole is book and no_causes == causes and no_checks == checks:
            return made
    made = _narrowed(book, causes, checks)
    _RECENT[:] = [(book, causes, checks, made), *_RECENT[: _KEPT - 1]]
    return made


def _unfit(one: OnlyFor, sheet: Sheet) -> bool:
    """Say whether a vehicle is known not to have something."""
    return not sheet.lacks.isdisjoint(one.fits) or not sheet.has.isdisjoint(one.not_for)


def _narrowed(book: Book, causes: frozenset[str], checks: frozenset[str]) -> Book:
    """Return a book without some causes and inspections."""

    def rest(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name in names if name not in checks)

    def rule(one: Rule) -> Rule:
        kept = {cause: how for cause, how in one.weights.items() if cause not in causes}
        return one if len(kept) == len(one.weights) else replace(one, weights=kept)

    def cause(one: Cause) -> Cause:
        return replace(one, before_buying=rest(one.before_buying))

    def inspection(one: Inspection) -> Inspection:
        proves = {name: results for name, results in one.proves.items() if name not in causes}
        return replace(one, after=rest(one.after), proves=proves)

    def seen(observables: tuple[Observable, ...]) -> tuple[Observable, ...]:
        return tuple(o for o in observables if o.kind != RESULT or o.key not in checks)

    views: dict[str, Any] = {
        "rules": _Seen(book.rules, rule),
        "causes": _Seen(book.causes, cause),
        "inspections": _Seen(book.inspections, inspection),
        "proved_by": _Seen(book.proved_by, rest),
        "weighed_in": _Seen(book.weighed_in, seen),
    }
    return replace(book, only_for=(), **views)
