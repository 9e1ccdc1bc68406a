"""Which inspections bear on which causes, and what they tell; looked up once for all cases of a book."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.book import Book
from proveout.weigh.cpts import cpt
from proveout.weigh.likelihoods import Rates, rates_of

#: Situations of which it is kept what bears on them.
_MOST = 500

_Key = TypeVar("_Key")
_Found = TypeVar("_Found")


class Bearing:
    """The inspections of one book by the causes of which they can tell or prove something.

    What an inspection tells is the same in all cases that agree in the facts its rules ask for, and is kept;
    so is what several tell, and which tell anything of some causes.
    """

    def __init__(self, book: Book) -> None:
        """Begin with nothing looked up."""
        self.book = book
        self._asked: dict[str, frozenset[Atom]] = {}
        self._told: dict[tuple[str, frozenset[Atom]], Rates | None] = {}
        self._telling: dict[tuple[str, ...], tuple[frozenset[str], frozenset[Atom]]] = {}
        self._relevant: dict[tuple[object, ...], tuple[str, ...]] = {}
        self._asked_by: dict[tuple[str, ...], frozenset[Atom]] = {}
        self._told_by: dict[tuple[object, ...], tuple[Rates | None, ...]] = {}

    def told(self, facts: frozenset[Atom], check: str) -> Rates | None:
        """Return what an inspection tells in a closed set of facts, or None where no rule weighs it."""
        heard = facts & self._asks(check)
        if (check, heard) not in self._told:
            how = cpt(self.book, facts, Observable(RESULT, check))
            self._told[check, heard] = rates_of(how) if how else None
        return self._told[check, heard]

    def told_by(self, facts: frozenset[Atom], checks: tuple[str, ...]) -> tuple[Rates | None, ...]:
        """Return what each of some inspections tells in a closed set of facts."""
        if checks not in self._asked_by:
            _keep(self._asked_by, checks, self._all_asked(checks))
        key = checks, facts & self._asked_by[checks]
        if key not in self._told_by:
            _keep(self._told_by, key, tuple(self.told(facts, check) for check in checks))
        return self._told_by[key]

    def relevant(
        self, facts: frozenset[Atom], causes: tuple[str, ...], besides: tuple[str, ...] = ()
    ) -> tuple[str, ...]:
        """Return the inspections that tell or prove something of some causes, and those that come first.

        ``besides`` are further ones that are wanted.
        """
        if causes not in self._telling:
            weighed = (o for cause in causes for o in self.book.weighed_in.get(cause, ()))
            named = frozenset(o.key for o in weighed if o.kind == RESULT)
            _keep(self._telling, causes, (named, self._all_asked(named)))
        telling, asked = self._telling[causes]
        key = causes, besides, facts & asked
        if key not in self._relevant:
            _keep(self._relevant, key, self._found(facts, causes, besides, telling))
        return self._relevant[key]

    def _found(
        self,
        facts: frozenset[Atom],
        causes: tuple[str, ...],
        besides: tuple[str, ...],
        telling: frozenset[str],
    ) -> tuple[str, ...]:
        """Return what ``relevant`` does, looked up anew; by ``telling`` some rule weighs the causes."""
        book, wanted = self.book, set(causes)
        found = set(besides)
        for cause in causes:
            found.update(book.proved_by.get(cause, ()), book.causes[cause].before_buying)
        found |= {check for check in telling - found if self._tells(facts, check, wanted)}
        waiting = list(found)
        while waiting:
            new = set(book.inspections[waiting.pop()].after) - found
            found |= new
            waiting += new
        return tuple(sorted(found))

    def _tells(self, facts: frozenset[Atom], check: str, causes: set[str]) -> bool:
        """Say whether the rules of an inspection that apply in these facts speak of some causes."""
        if not self._asks(check):
            return True
        told = self.told(facts, check)
        return told is not None and not causes.isdisjoint(told.given)

    def _asks(self, check: str) -> frozenset[Atom]:
        """Return the facts, other results of the inspection left out, that its rules ask for besides."""
        if check not in self._asked:
            rules = map(self.book.rules.__getitem__, self.book.weighing.get(Observable(RESULT, check), ()))
            atoms = (atom for rule in rules for atom in rule.context)
            self._asked[check] = frozenset(a for a in atoms if (a.kind, a.key) != (RESULT, check))
        return self._asked[check]

    def _all_asked(self, checks: Iterable[str]) -> frozenset[Atom]:
        """Return the facts that the rules of some inspections ask for."""
        return frozenset[Atom]().union(*map(self._asks, checks))


def _keep(kept: dict[_Key, _Found], key: _Key, found: _Found) -> None:
    """Keep what was found; when there is no room, all that was kept before goes."""
    if len(kept) >= _MOST:
        kept.clear()
    kept[key] = found


_last: list[Bearing] = []


def bearing_of(book: Book) -> Bearing:
    """Return the lookup for a book; that of the book last asked for is kept."""
    kept = _last[0] if _last else None
    if kept is None or kept.book is not book:
        kept = Bearing(book)
        _last[:] = [kept]
    return kept
