"""Which single changes of the shipped book would anybody notice?

Makes random single changes of the rule files, each in a copy, and asks in turn `rules check`, the examples
of the rules, and the shipped cases, whose answers are compared with those of the book as it is.
Wanted: 85 % caught.

python tests/bench/mutation.py --changes 500 --seed 1
"""

from __future__ import annotations

import argparse
import random
import re
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from proveout.app.comparing import sample
from proveout.book.load import load_book, made_from_texts
from proveout.book.shipped import rules_dir
from proveout.model.book import Book
from proveout.model.rule import FREQUENCY_WORDS
from proveout.trial.compare import Answer, answer, change
from proveout.trial.examples import try_examples
from proveout.trial.outcome import PASSED

SCALE = list(FREQUENCY_WORDS)
_SEEN = re.compile(r"seen_with: \{([a-z0-9.-]+): ([a-z0-9.-]+)")


def frequency(line: str, draw: random.Random, _causes: list[str]) -> str:
    """Move a frequency by three words of the scale."""
    found = _SEEN.search(line)
    if not found or found[2] not in SCALE:
        return line
    at = SCALE.index(found[2])
    to = draw.choice([n for n in (at - 3, at + 3) if 0 <= n < len(SCALE)])
    return line[: found.start(2)] + SCALE[to] + line[found.end(2) :]


def result(line: str, _draw: random.Random, _causes: list[str]) -> str:
    """Swap a normal and an abnormal result."""
    swapped = {"normal": "abnormal", "abnormal": "normal"}
    return re.sub(r"is: (normal|abnormal)", lambda m: f"is: {swapped[m[1]]}", line, count=1)


def condition(line: str, _draw: random.Random, _causes: list[str]) -> str:
    """Drop the first of several conditions."""
    return re.sub(r"all: \[\{[^{}]*\}, ", "all: [", line, count=1)


def cause(line: str, draw: random.Random, causes: list[str]) -> str:
    """Put another cause in the place of one."""
    found = _SEEN.search(line)
    return line[: found.start(1)] + draw.choice(causes) + line[found.end(1) :] if found else line


def limit(line: str, _draw: random.Random, _causes: list[str]) -> str:
    """Move a limit by the factor ten."""
    number = r"(limits: \{[^}]*?\.\.)(-?[0-9.]*[1-9][0-9.]*)"
    return re.sub(number, lambda m: f"{m[1]}{float(m[2]) * 10:g}", line, count=1)


CHANGES: tuple[Callable[[str, random.Random, list[str]], str], ...] = (
    frequency,
    result,
    condition,
    cause,
    limit,
)


def changed(home: Path, draw: random.Random, causes: list[str]) -> str:
    """Make one change in a copy of the rules and say what it is."""
    files = sorted(home.rglob("*.yaml"))
    make = draw.choice(CHANGES)
    while True:
        path = draw.choice(files)
        lines = path.read_text("utf-8").splitlines()
        places = [n for n, line in enumerate(lines) if make(line, random.Random(0), causes) != line]
        if places:
            at = draw.choice(places)
            old, lines[at] = lines[at], make(lines[at], draw, causes)
            path.write_text("\n".join(lines) + "\n", "utf-8")
            place = f"{path.relative_to(home)}:{at + 1}"
            return f"{make.__name__}: {place}: {old.strip()} -> {lines[at].strip()}"


def caught(home: Path, cases: Mapping[str, Mapping[str, Any]], before: Mapping[str, Answer]) -> str:
    """Return what notices the change, or "" where nothing does."""
    book, problems = made_from_texts(base=home)
    if problems or book is None:
        return "check"
    if any(outcome.status != PASSED for outcome in try_examples(book)):
        return "test"
    differs = (change(n, before[n], answer(case, book), {}, 0.02) for n, case in cases.items())
    return "compare" if any(differs) else ""


def main() -> None:
    """Make the changes and print what caught them, and those that nothing caught."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--changes", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--cases", type=int, default=10_000, help="compare at most so many shipped cases")
    asked = parser.parse_args()
    book: Book = load_book()
    cases = dict(list(sample(book, (), 0, 1).items())[: asked.cases])
    before = {name: answer(case, book) for name, case in cases.items()}
    counts: Counter[str] = Counter()
    for number in range(asked.changes):
        with tempfile.TemporaryDirectory(prefix="proveout-") as place:
            home = Path(shutil.copytree(rules_dir(), Path(place) / "rules"))
            what = changed(home, random.Random(f"{asked.seed} {number}"), list(book.causes))
            by = caught(home, cases, before)
        counts[by or "survived"] += 1
        if not by:
            print(f"survived {what}", flush=True)
        done = number + 1
        print(f"{done}: {dict(counts)}, caught {100 * (done - counts['survived']) / done:.0f} %", flush=True)


if __name__ == "__main__":
    main()
