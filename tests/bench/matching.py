"""How long does it take to understand what somebody says?

``python tests/bench/matching.py``: processor time of matching a clause of the phrases of the book and of the
acceptance test, of a long story, and of naming an inspection in other words. Wanted are less than 50 ms a
clause.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import yaml

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from helpers_shipped import shipped_book  # noqa: E402
from proveout.intake.index import Index, index_of, phrases_of  # noqa: E402
from proveout.intake.resolve import choose  # noqa: E402
from proveout.intake.words import match  # noqa: E402

WANTED_MS = 50.0
STORY = (
    "it started about two weeks ago after I filled up at another station and the lamp came on, sometimes it "
    "cranks a long time when it is hot but never when cold, no smell of fuel, the idle goes up and down and "
    "it nearly dies at lights, my neighbour says the air pump but I don't think so"
)


def times(texts: Iterable[str], does: Callable[[str], object]) -> list[float]:
    """Return the processor time of each call, ms."""
    found = []
    for text in texts:
        begun = time.process_time()
        does(text)
        found.append(1000.0 * (time.process_time() - begun))
    return found


def heard_by(index: Index) -> Callable[[str], object]:
    """Return what matches a text to an index."""
    return lambda text: match((text,), index)


def main() -> int:
    """Measure and print; exit code 1 where a median is above what is wanted."""
    book = shipped_book()
    index = index_of(book.words)
    own = [phrase for term in book.words.symptoms.values() for phrase in phrases_of(term)][::10]
    said = yaml.safe_load((HERE.parent / "acceptance" / "phrases-working.yaml").read_text(encoding="utf-8"))
    heard = [item["said"] for item in said]
    names = [f"check of the {word}" for entry in book.inspections.values() for word in entry.words][::200]
    rows = {
        "phrases of the book": times(own, heard_by(index)),
        "phrases of the acceptance test": times(heard, heard_by(index)),
        "a story of eight clauses, for each": [
            t / 8 for t in times([STORY] * 5, lambda t: match((t,), index))
        ],
        "an inspection in other words": times(names, lambda text: choose(text, book.inspections)),
    }
    for name, found in rows.items():
        print(f"{name:<40} median {statistics.median(found):6.2f} ms  most {max(found):7.2f} ms")
    return int(any(statistics.median(found) > WANTED_MS for found in rows.values()))


if __name__ == "__main__":
    raise SystemExit(main())
