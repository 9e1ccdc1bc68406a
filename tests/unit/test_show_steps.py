"""The page at the meter: it keeps within the width, and warns before it tells what to do."""

from __future__ import annotations

import pytest

from helpers_shipped import shipped_book
from proveout.model.book import Book
from proveout.model.entries import Inspection
from proveout.show.inspection import steps_page


def steps_text(book: Book, inspection: Inspection, width: int = 80) -> str:
    return steps_page(book, inspection, width).text()


@pytest.mark.parametrize("width", [40, 60, 80, 100])
def test_every_shipped_inspection_keeps_within_the_width(width: int) -> None:
    """A word longer than the line, such as a command or an address, stands whole."""
    book = shipped_book()
    lines = [
        line for item in book.inspections.values() for line in steps_text(book, item, width).splitlines()
    ]
    longest = max(len(word) for line in lines for word in line.split())
    wide = [line for line in lines if len(line) > width]
    assert not [line for line in wide if max(map(len, line.split())) + 16 <= width], longest


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
