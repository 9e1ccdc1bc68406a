"""A recorded reading judged by the limits that hold for the vehicle: its own where they are stated."""

from __future__ import annotations

from dataclasses import replace

from proveout.measure import Judged, judge
from proveout.measure.own import Replaced, with_own_limits
from proveout.model.atom import Atom
from proveout.model.book import Book, Predicate
from proveout.model.case import Case, Read, Taken


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


def own_limits(inspection: str, case: Case, book: Book) -> Replaced | None:
    """Return the vehicle's own limits of an inspection with the generic ones; None where there are none.

    What the case states goes first, then the last of the book's own figures that hold for the vehicle.

    Raises:
        BadInputError: the case states limits that cannot be used.
    """
    spec = book.inspections[inspection].reading
    stated = [figures for figures in case.own_figures if figures.inspection == inspection]
    if spec is None or not (stated or any(f.inspection == inspection for f in book.own_figures)):
        return None
    facts = facts_of(case, book)
    known = [f for f in book.own_figures if f.inspection == inspection and f.when.holds(facts)]
    if not (known or stated):
        return None
    figures = (known + stated)[-1]
    return with_own_limits(spec, figures.limits, figures.reference, figures.place)


def judged(taken: Taken, case: Case, book: Book) -> Judged | None:
    """Return what a recorded reading says; None where a result was recorded in words.

    Raises:
        BadInputError: the reading cannot be used.
    """
    spec = book.inspections[taken.inspection].reading
    if taken.result or spec is None:
        return None
    own = own_limits(taken.inspection, case, book)
    found = judge(
        own.spec if own else spec,
        value=taken.value,
        series=taken.series,
        instrument=taken.instrument,
        place=taken.place,
        conditions=taken.conditions,
    )
    return replace(found, own=own)


def readings_of(case: Case, book: Book) -> tuple[Read, ...]:
    """Return every inspection recorded in a case, judged, in order.

    Raises:
        BadInputError: a reading cannot be used.
    """
    return tuple(_read(taken, judged(taken, case, book), book) for taken in case.taken)


def _read(taken: Taken, found: Judged | None, book: Book) -> Read:
    title = book.inspections[taken.inspection].title
    if found is None:
        return Read(taken.inspection, title, ((taken.result, 1.0),), taken.result)
    return Read(taken.inspection, title, found.states, "", found)
