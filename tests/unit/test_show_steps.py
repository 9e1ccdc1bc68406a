"""The page at the meter: it fits a printed page, and warns before it tells what to do."""

from __future__ import annotations

from helpers_shipped import shipped_book
from proveout.show.inspection import steps_text

PAGE = 66  # lines of a printed page


def test_every_shipped_inspection_fits_one_page() -> None:
    book = shipped_book()
    pages = {key: steps_text(book, inspection).splitlines() for key, inspection in book.inspections.items()}
    assert {key: len(lines) for key, lines in pages.items() if len(lines) > PAGE} == {}
    assert max(len(line) for lines in pages.values() for line in lines) <= 100


def test_cautions_come_before_steps_and_steps_before_limits() -> None:
    book = shipped_book()
    for inspection in book.inspections.values():
        lines = steps_text(book, inspection).splitlines()
        order = [lines.index(head) for head in ("Before you start", "Steps", "What the result means")]
        assert order == sorted(order), inspection.id
        if inspection.reading:
            assert order[1] < lines.index("Limits") < order[2]


def test_what_must_be_stated_for_a_derived_figure_is_on_the_page() -> None:
    book = shipped_book()
    page = " ".join(steps_text(book, book.inspections["ground-cable-drop"]).split())
    assert '--under "current … A" (current that flows)' in page
