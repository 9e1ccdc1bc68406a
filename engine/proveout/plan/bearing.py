"""Which inspections bear on which causes, found once for a book and then looked up."""

from __future__ import annotations

from collections.abc import Sequence

from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.belief import Table
from proveout.model.book import Book
from proveout.weigh import table


class Bearing:
    """The inspections of one book by the causes of which they can tell or prove something.

    Tables of inspections whose rules ask for nothing else are the same in every case and are kept.
    """

    def __init__(self, book: Book) -> None:
        """Go through the rules of the book once."""
        self.book = book
        self._needed = {
            cause: frozenset((*book.proved_by.get(cause, ()), *entry.before_buying))
            for cause, entry in book.causes.items()
        }
        self._told: dict[str, set[str]] = {}
        self._plain: dict[str, Table | None] = {}
        self._hangs: set[str] = set()
        for observable, rules in book.weighing.items():
            if observable.kind == RESULT:
                self._note(observable.key, rules)

    def _note(self, check: str, rules: Sequence[str]) -> None:
        """Take down the causes of which an inspection tells, and whether that hangs on other facts."""
        for rule in map(self.book.rules.__getitem__, rules):
            if rule.context:
                self._hangs.add(check)
            for cause in rule.weights:
                self._told.setdefault(cause, set()).add(check)

    def table(self, facts: frozenset[Atom], check: str) -> Table | None:
        """Return the table of an inspection in a closed set of facts, or None where no rule weighs it."""
        if check in self._hangs:
            return table(self.book, facts, Observable(RESULT, check))
        if check not in self._plain:
            self._plain[check] = table(self.book, frozenset(), Observable(RESULT, check))
        return self._plain[check]

    def relevant(self, facts: frozenset[Atom], causes: Sequence[str]) -> list[str]:
        """Return the inspections that tell or prove something of some causes, and those that come first."""
        found = frozenset().union(*(self._needed[cause] for cause in causes))
        telling = set[str]().union(*(self._told.get(cause, ()) for cause in causes)) - found
        wanted = set(causes)
        found |= {check for check in telling if check not in self._hangs or self._tells(facts, check, wanted)}
        waiting, every = list(found), set(found)
        while waiting:
            new = set(self.book.inspections[waiting.pop()].after) - every
            every |= new
            waiting += new
        return sorted(every)

    def _tells(self, facts: frozenset[Atom], check: str, causes: set[str]) -> bool:
        """Say whether the rules of an inspection that apply in these facts speak of some causes."""
        how = self.table(facts, check)
        return how is not None and not causes.isdisjoint(how.given)


_last: list[Bearing] = []


def bearing_of(book: Book) -> Bearing:
    """Return the index of a book; that of the book last asked for is kept."""
    if not _last or _last[0].book is not book:
        _last[:] = [Bearing(book)]
    return _last[0]
