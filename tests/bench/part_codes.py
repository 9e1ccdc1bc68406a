"""Triage of each weighed code alone, in one process with the book in memory; the best of three."""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.measure import Row, give
from helpers_shipped import shipped_book
from proveout.intake.document import case_of
from proveout.model.book import Book
from proveout.plan.advice import advise
from proveout.trial.simulate import weighed_codes


def main(most: int) -> None:
    """Measure and print the rows."""
    book = shipped_book()
    for entries in (book.rules, book.causes, book.inspections):
        for key in entries:
            assert entries[key]  # it is read from its file only when it is asked for
    codes = weighed_codes(book)[:most]
    _seconds(book, codes[0])
    took = {code: 1000 * min(_seconds(book, code) for _ in range(3)) for code in codes}
    dearest = max(took, key=took.__getitem__)
    give(
        [
            Row(
                f"triage of {len(took)} weighed codes alone, median",
                f"{statistics.median(took.values()):.1f} ms",
                "15 ms",
            ),
            Row(f"the dearest of them, {dearest}", f"{took[dearest]:.0f} ms", "120 ms"),
        ]
    )


def _seconds(book: Book, code: str) -> float:
    began = time.process_time()
    advise(case_of({"codes": [code]}, book), book)
    return time.process_time() - began


if __name__ == "__main__":
    main(int(sys.argv[1]))
