"""Which inspections bear on which causes, and what they tell; looked up once for all cases of a book."""

from __future__ import annotations

from collections.abc import Sequence

from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.book import Book
from proveout.weigh.cpts import cpt
from proveout.weigh.likelihoods import Rates, rates_of


class Bearing:
    """The inspections of one book by the causes of which they can tell or prove something.

    What an inspection tells is the same in all cases that agree in the facts its rules ask for, and is kept.
    """

    def __init__(self, book: Book) -> None:
        """Begin with nothing looked up."""
        self.book = book
        self._asked: dict[str, frozenset[Atom]] = {}
        self._told: dict[tuple[str, frozenset[Atom]], Rates | None] = {}

    def told(self, facts: frozenset[Atom], check: str) -> Rates | None:
        """Return what an inspection tells in a closed set of facts, or None where no rule weighs it."""
        heard = facts & self._asks(check)
        if (check, heard) not in self._told:
            how = cpt(self.book, facts, Observable(RESULT, check))
            self._told[check, heard] = rates_of(how) if how else None
        return self._told[check, heard]

    def relevant(
        self, facts: frozenset[Atom], causes: Sequence[str], besides: Sequence[str] = ()
    ) -> list[str]:
        """Return the inspections that tell or prove something of some causes, and those that come first.

        ``besides`` are further ones that are wanted.
        """
        book, wanted = self.book, set(causes)
        found, telling = set(besides), set[str]()
        for cause in causes:
            found.update(book.proved_by.get(cause, ()), book.causes[cause].before_buying)
            telling.update(o.key for o in book.weighed_in.get(cause, ()) if o.kind == RESULT)
        found |= {check for check in telling - found if self._tells(facts, check, wanted)}
        waiting = list(found)
        while waiting:
            new = set(book.inspections[waiting.pop()].after) - found
            found |= new
            waiting += new
        return sorted(found)

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


_last: list[Bearing] = []


def bearing_of(book: Book) -> Bearing:
    """Return the lookup for a book; that of the book last asked for is kept."""
    kept = _last[0] if _last else None
    if kept is None or kept.book is not book:
        kept = Bearing(book)
        _last[:] = [kept]
    return kept
