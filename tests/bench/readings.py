"""What the readings of the book found, by family and class; how many entries have a published source.

python tests/bench/readings.py           # --write puts the counts of the sources into the README
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers_shipped import shipped_book
from helpers_sources import rewritten, table
from proveout.book.shipped import rules_dir

KINDS = ("inspection", "cause", "row", "code", "symptom")
CLASSES = ("unsafe", "wrong", "doubtful", "missing", "words")
README = Path(__file__).parents[2] / "README.md"


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
    print(table(shipped_book()), end="")
    if "--write" in sys.argv[1:]:
        README.write_text(rewritten(README.read_text("utf-8"), shipped_book()), "utf-8")


if __name__ == "__main__":
    main()
