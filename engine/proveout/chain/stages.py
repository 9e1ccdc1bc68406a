"""The rules of a book in the order they run: as compiled, or laid out now for a book made by hand."""

from __future__ import annotations

from proveout.book.layout import MOST_CONDITIONS, finding, lay_out
from proveout.model.book import Book, Layout, Stage

__all__ = ["MOST_CONDITIONS", "Layout", "Stage", "finding", "layout_of"]


def layout_of(book: Book) -> Layout:
    """Return the order in which the rules of a book run.

    Raises:
        EngineError: as ``lay_out``, for a book that was not compiled.
    """
    return book.layout or lay_out(book.rules, book.stratum)
