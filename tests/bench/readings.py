"""What the readings of the book found, by family and class; how many entries have a published source.

python tests/bench/readings.py
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers_shipped import shipped_book
from proveout.book.shipped import rules_dir
from proveout.model.book import Book

KINDS = ("inspection", "cause", "row", "code", "symptom")
CLASSES = ("unsafe", "wrong", "doubtful", "missing", "words")
#: How a source begins whose steps are common practice, though a word on safety may have a published source.
NONE = re.compile(r"(?:common practice|from memory)")
#: A published source says how it was read; what is from memory or computed does not.
READ = re.compile(r", read\b|\bread in (?:excerpt|part)|\(read|\bquoted\b|named from")
#: How many inspections count as common: those that show the likeliest causes.
COMMON = 200


def tally(text: str) -> tuple[Counter[str], Counter[tuple[str, str]]]:
    """Return how many entries of each kind a reading says were read, and its findings by kind and class."""
    read: Counter[str] = Counter()
    for line in re.findall(r"^Read:.*?(?:\n\n|\Z)", text, re.MULTILINE | re.DOTALL):
        for count, kind in re.findall(r"([\d,]+) (inspection|cause|row|code|symptom)s?", line):
            read[kind] += int(count.replace(",", ""))
    rows = (
        tuple(part.strip() for part in row.split("|")[1:4]) for row in text.splitlines() if row[:1] == "|"
    )
    found = Counter((kind, sort) for _, kind, sort in rows if kind in KINDS and sort in CLASSES)
    return read, found


def readings() -> dict[str, str]:
    """Return the texts of all readings by name."""
    home = rules_dir() / "judgements"
    return {path.stem: path.read_text(encoding="utf-8") for path in sorted(home.glob("*.md"))}


def sourced(texts: Iterable[str]) -> tuple[int, int]:
    """Return how many of some sources are published ones, and how many there are."""
    every = list(texts)
    return sum(1 for text in every if READ.search(text) and not NONE.match(text)), len(every)


def sources(book: Book) -> dict[str, tuple[int, int]]:
    """Return how many entries of each sort have a published source, of how many."""
    likely = sorted(book.causes.values(), key=lambda cause: -cause.base_rate)
    shown: dict[str, None] = {}
    for cause in likely:
        shown.update(dict.fromkeys(book.proved_by.get(cause.id, ())))
    common = list(shown)[:COMMON]
    return {
        "inspections": sourced(one.source for one in book.inspections.values()),
        f"the {COMMON} inspections of the likeliest causes": sourced(
            book.inspections[n].source for n in common
        ),
        "limits": sourced(one.reading.limits_source for one in book.inspections.values() if one.reading),
        "cautions": sourced(one.source for one in book.words.cautions.values()),
        "base rates": sourced(one.base_rate_source for one in book.causes.values()),
        "rows and rules": sourced(rule.source for rule in book.rules.values()),
        "codes": sourced(one.source for one in book.words.codes.values()),
    }


def main() -> None:
    """Print both tables."""
    print(f"{'reading':<24}{'read':>7}" + "".join(f"{sort:>10}" for sort in CLASSES))
    total: Counter[tuple[str, str]] = Counter()
    for name, text in readings().items():
        read, found = tally(text)
        if not read:
            continue
        for kind in KINDS:
            counts = "".join(f"{found[kind, sort]:>10}" for sort in CLASSES)
            if read[kind] or any(found[kind, sort] for sort in CLASSES):
                print(f"{name[:14]:<15}{kind:<9}{read[kind]:>7}{counts}")
        total += found
    print(f"{'all':<31}" + "".join(f"{sum(total[k, sort] for k in KINDS):>10}" for sort in CLASSES))
    print()
    for sort, (good, count) in sources(shipped_book()).items():
        print(f"{sort}: {good} of {count} have a published source")


if __name__ == "__main__":
    main()
