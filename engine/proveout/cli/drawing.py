"""Gathers the series of a case so that they can be drawn."""

from __future__ import annotations

from proveout.measure import Study, judge
from proveout.model.book import Book
from proveout.model.case import Case, Taken


def study_of(taken: Taken, book: Book) -> Study | None:
    """Give the study of a recorded series, or None where it is none."""
    reading = book.inspections[taken.inspection].reading
    if reading is None or reading.series is None or not (taken.series or taken.value):
        return None
    return judge(
        reading,
        value=taken.value,
        series=taken.series,
        instrument=taken.instrument,
        conditions=taken.conditions,
        place=taken.place,
    ).study


def studies(case: Case, book: Book) -> list[tuple[str, Study]]:
    """Give (title of the inspection, study) for every series of a case, in order."""
    found = ((book.inspections[taken.inspection].title, study_of(taken, book)) for taken in case.taken)
    return [(title, study) for title, study in found if study is not None]
