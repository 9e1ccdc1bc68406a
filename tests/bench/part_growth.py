"""How the time of one triage grows with causes, observations, inspections and rules, on made-up books."""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.made_book import write_book
from bench.measure import Row, give
from proveout.book.load import load_book
from proveout.intake.document import case_of
from proveout.model.book import Book
from proveout.plan.advice import advise


def main(scale: float) -> None:
    """Measure and print the rows; a scale below one makes every book smaller."""

    def sizes(*wanted: int) -> list[int]:
        return [max(round(size * scale), 2) for size in wanted]

    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        give(
            [
                _row("causes behind the code", sizes(5, 10, 20, 40, 80), _causes, home),
                _row("observations made", sizes(2, 4, 8, 16), _observations, home),
                _row("inspections of each of 8 causes", sizes(1, 2, 4, 8), _inspections, home),
                _row("rules on other codes", sizes(100, 1000, 4000), _rules, home),
            ]
        )


def _row(what: str, sizes: Sequence[int], measure: object, home: Path) -> Row:
    assert callable(measure)
    took = [(size, 1000 * measure(home, size)) for size in dict.fromkeys(sizes)]
    return Row(f"triage in ms against {what}", ", ".join(f"{size}: {ms:.1f}" for size, ms in took))


def _causes(home: Path, size: int) -> float:
    return _seconds(_book(home, codes_=1, causes=size, inspections=1, behind=size))


def _observations(home: Path, size: int) -> float:
    book = _book(home, codes_=1, causes=16, inspections=1, behind=16)
    return _seconds(book, {f"made-look-{n}-0": "sound" for n in range(size)})


def _inspections(home: Path, size: int) -> float:
    return _seconds(_book(home, codes_=1, causes=8, inspections=size, behind=8))


def _rules(home: Path, size: int) -> float:
    return _seconds(_book(home, codes_=size, causes=8, inspections=1, behind=1))


def _book(home: Path, *, codes_: int, causes: int, inspections: int, behind: int) -> Book:
    layer = home / f"book-{codes_}-{causes}-{inspections}-{behind}"
    write_book(layer, codes_=codes_, causes=causes, inspections=inspections, behind=behind)
    return load_book([layer], base=None, cache=home / "books")


def _seconds(book: Book, results: dict[str, str] | None = None) -> float:
    """Return the processor seconds of the shortest of three triages, one having gone before."""
    times = []
    for _ in range(4):
        began = time.process_time()
        advise(case_of({"codes": ["P1000"], "results": results or {}}, book), book)
        times.append(time.process_time() - began)
    return min(times[1:])


if __name__ == "__main__":
    main(float(sys.argv[1]))
