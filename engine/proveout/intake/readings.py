"""A recorded reading judged by the limits that hold for the vehicle: its own where they are stated."""

from __future__ import annotations

from msgspec.structs import replace

from proveout.intake.facts import facts_of
from proveout.measure.judging import Judged, judge
from proveout.measure.own import Replaced, with_own_limits
from proveout.measure.wording import Said
from proveout.model.book import Book
from proveout.model.case import Case, Read, Taken
from proveout.model.entries import Inspection
from proveout.model.specs import ReadingSpec


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


#: What a result weighs that rests on own figures alone, where the generic limits give a normal one: figures
#: are copied from the wrong page or with the wrong unit now and then (from memory).
OWN_ALONE = 0.9


def judged(taken: Taken, case: Case, book: Book) -> Judged | None:
    """Return what a recorded reading says; None where a result was recorded in words.

    A result that shows a fault by the vehicle's own limits, where the generic limits call the reading normal,
    is mixed with the normal one: it is evidence, but no proof.

    Raises:
        BadInputError: the reading cannot be used.
    """
    spec = book.inspections[taken.inspection].reading
    if taken.result or spec is None:
        return None
    own = own_limits(taken.inspection, case, book)
    found = _judged_by(own.spec if own else spec, taken)
    if own is None:
        return found
    found = _without_proof(found, _judged_by(spec, taken), book.inspections[taken.inspection])
    return replace(found, own=own)


def _judged_by(spec: ReadingSpec, taken: Taken) -> Judged:
    return judge(
        spec,
        value=taken.value,
        series=taken.series,
        instrument=taken.instrument,
        place=taken.place,
        conditions=taken.conditions,
    )


def _without_proof(mine: Judged, generic: Judged, inspection: Inspection) -> Judged:
    """Mix what own figures say with what the generic limits say, where only the own ones show a fault."""
    normal = {result.id for result in inspection.results if result.normal}
    if (
        mine.decided is None
        or generic.decided is None
        or mine.decided in normal
        or generic.decided not in normal
    ):
        return mine
    states = ((mine.decided, OWN_ALONE), (generic.decided, 1.0 - OWN_ALONE))
    note = (
        f"It is {mine.decided} by own figures alone; the book's generic limits call it {generic.decided}. "
        "So it is no proof: check the figure and its unit, and inspect in another way."
    )
    return replace(mine, states=states, remarks=(Said(note), *mine.remarks), own_alone=True)


def readings_of(case: Case, book: Book) -> tuple[Read, ...]:
    """Return every inspection recorded in a case, judged, in order.

    Raises:
        BadInputError: a reading cannot be used.
    """
    return tuple(_read(taken, judged(taken, case, book), book) for taken in case.taken)


def _read(taken: Taken, found: Judged | None, book: Book) -> Read:
    title = book.inspections[taken.inspection].title
    if found is None:
        states = ((taken.result, 1.0),)
        return Read(taken.inspection, title, states, taken.result, fault=taken.fault, old_part=taken.old_part)
    return Read(
        taken.inspection, title, found.states, "", found, found.own_alone, taken.fault, taken.old_part
    )
