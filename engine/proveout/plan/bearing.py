"""Which inspections bear on which causes, found once for a book and then looked up."""

from __future__ import annotations

from collections.abc import Sequence

from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.book import Book
from proveout.weigh import Rates, rates_of, table


class Bearing:
    """The inspections of one book by the causes of which they can tell or prove something.

    What an inspection tells is the same in all cases that agree in the facts its rules ask for, and is kept.
    """

    def __init__(self, book: Book) -> None:
        """Go through the rules of the book once."""
        self.book = book
        self._needed = {
            cause: frozenset((*book.proved_by.get(cause, ()), *entry.before_buying))
            for cause, entry in book.causes.items()
        }
        self._telling: dict[str, set[str]] = {}
        self._asked: dict[str, frozenset[Atom]] = {}
        self._known: dict[tuple[str, frozenset[Atom]], Rates | None] = {}
        for observable, rules in book.weighing.items():
            if observable.kind == RESULT:
                self._note(observable.key, rules)

    def _note(self, check: str, rules: Sequence[str]) -> None:
        """Take down of which causes an inspection tells, and for which facts its rules ask besides."""
        asked = set[Atom]()
        for rule in map(self.book.rules.__getitem__, rules):
            asked |= {atom for atom in rule.context if (atom.kind, atom.key) != (RESULT, check)}
            for cause in rule.weights:
                self._telling.setdefault(cause, set()).add(check)
        self._asked[check] = frozenset(asked)

    def told(self, facts: frozenset[Atom], check: str) -> Rates | None:
        """Return what an inspection tells in a closed set of facts, or None where no rule weighs it."""
        heard = facts & self._asked.get(check, frozenset())
        if (check, heard) not in self._known:
            how = table(self.book, heard, Observable(RESULT, check))
            self._known[check, heard] = rates_of(how) if how else None
        return self._known[check, heard]

    def relevant(self, facts: frozenset[Atom], causes: Sequence[str]) -> list[str]:
        """Return the inspections that tell or prove something of some causes, and those that come first."""
        found = set[str]().union(*(self._needed[cause] for cause in causes))
        telling = set[str]().union(*(self._telling.get(cause, ()) for cause in causes)) - found
        wanted = set(causes)
        found |= {check for check in telling if not self._asked[check] or self._tells(facts, check, wanted)}
        waiting = list(found)
        while waiting:
            new = set(self.book.inspections[waiting.pop()].after) - found
            found |= new
            waiting += new
        return sorted(found)

    def _tells(self, facts: frozenset[Atom], check: str, causes: set[str]) -> bool:
        """Say whether the rules of an inspection that apply in these facts speak of some causes."""
        told = self.told(facts, check)
        return told is not None and not causes.isdisjoint(told.table.given)


_last: list[Bearing] = []


def bearing_of(book: Book) -> Bearing:
    """Return the index of a book; that of the book last asked for is kept."""
    kept = _last[0] if _last else None
    if kept is None or kept.book is not book:
        kept = Bearing(book)
        _last[:] = [kept]
    return kept
