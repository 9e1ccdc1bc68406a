"""The thresholds and equalities of the book that hold for a case."""

from __future__ import annotations

from proveout.model.atom import Atom
from proveout.model.book import Book, Predicate
from proveout.model.case import Case


def holds(predicate: Predicate, case: Case) -> bool:
    """Decide a threshold or equality; a fact that is not known never holds."""
    known = case.facts.get(predicate.fact)
    if known is None:
        return False
    if predicate.op == "is":
        return str(known).casefold() == predicate.text.casefold()
    if predicate.number is None or isinstance(known, str):
        return False
    return known >= predicate.number if predicate.op == "at_least" else known < predicate.number


def facts_of(case: Case, book: Book) -> frozenset[Atom]:
    """Return the thresholds of the book that hold for a case."""
    return frozenset(predicate.atom for predicate in book.predicates if holds(predicate, case))
