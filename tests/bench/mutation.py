"""Which single changes of the shipped book would anybody notice?

Makes random single changes of the rule files and asks in turn `rules check` for what it refuses, the examples
of the rules, the single facts of `rules compare` and its shipped cases, and `rules check` for its warnings;
the first that notices counts. Wanted: 85 % caught.
Nothing is kept between runs: what a change is compared with is the book as it is.

`--cases-only` leaves the single facts out, to say what the cases catch by themselves.

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
from functools import lru_cache
from pathlib import Path
from typing import Any
from unittest.mock import patch

from msgspec import Struct

from proveout.app.comparing import facts_between, sample
from proveout.book import making, raw
from proveout.book.files import lay
from proveout.book.load import load_book
from proveout.book.shipped import rules_dir
from proveout.model.book import Book
from proveout.model.rule import FREQUENCY_WORDS, Rule
from proveout.text.compose import compose
from proveout.text.schema import validate_items
from proveout.trial.compare import Answer, answer, change, differing_rules, fact_change, said_alone
from proveout.trial.examples import try_examples
from proveout.trial.outcome import PASSED

SCALE = list(FREQUENCY_WORDS)
#: A cause with its frequency within the braces that follow `seen_with`.
_PAIR = re.compile(
    r"(?<=[{,] )([a-z0-9.-]+): ([a-z0-9.-]+)(?=[,}])|(?<={)([a-z0-9.-]+): ([a-z0-9.-]+)(?=[,}])"
)
_SEEN = re.compile(r"seen_with: \{[^{}]*\}?")


def _pairs(line: str) -> list[tuple[int, int, int, int]]:
    """Return the ends of cause and frequency of each pair of `seen_with` in a line."""
    found = _SEEN.search(line)
    if not found:
        return []
    pairs = _PAIR.finditer(line, found.start(), found.end())
    return [(*m.span(1 if m[1] else 3), *m.span(2 if m[1] else 4)) for m in pairs]


def frequency(line: str, draw: random.Random, _causes: list[str]) -> str:
    """Move a frequency by three words of the scale; a figure counts as the nearest word."""
    pairs = _pairs(line)
    if not pairs:
        return line
    _, _, start, end = draw.choice(pairs)
    at = _nearest(line[start:end])
    if at is None:
        return line
    to = draw.choice([n for n in (at - 3, at + 3) if 0 <= n < len(SCALE)])
    return line[:start] + SCALE[to] + line[end:]


def _nearest(text: str) -> int | None:
    """Return the place on the scale of a word, or of the word nearest to a figure."""
    if text in SCALE:
        return SCALE.index(text)
    try:
        value = float(text)
    except ValueError:
        return None
    return min(range(len(SCALE)), key=lambda n: abs(FREQUENCY_WORDS[SCALE[n]] - value))


def result(line: str, _draw: random.Random, _causes: list[str]) -> str:
    """Swap a normal and an abnormal result."""
    swapped = {"normal": "abnormal", "abnormal": "normal"}
    return re.sub(r"is: (normal|abnormal)", lambda m: f"is: {swapped[m[1]]}", line, count=1)


def condition(line: str, _draw: random.Random, _causes: list[str]) -> str:
    """Drop the first of several conditions."""
    return re.sub(r"all: \[\{[^{}]*\}, ", "all: [", line, count=1)


def cause(line: str, draw: random.Random, causes: list[str]) -> str:
    """Put another cause in the place of one."""
    pairs = _pairs(line)
    if not pairs:
        return line
    start, end, _, _ = draw.choice(pairs)
    other = draw.choice([name for name in causes if f"{name}:" not in line])
    return line[:start] + other + line[end:]


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


class Changed(Struct):
    """One change: its kind, where, what it says, the file and what the file held before."""

    kind: str
    told: str
    path: Path
    before: str

    def undo(self) -> None:
        """Write the file as it was."""
        self.path.write_text(self.before, "utf-8")


def changed(home: Path, draw: random.Random, causes: list[str]) -> Changed:
    """Make one change in a copy of the rules."""
    make = draw.choice(CHANGES)
    path, at = draw.choice(_places(home, make, causes[0]))
    before = path.read_text("utf-8")
    lines = before.splitlines()
    old, lines[at] = lines[at], make(lines[at], draw, causes)
    path.write_text("\n".join(lines) + "\n", "utf-8")
    told = f"{path.relative_to(home)}:{at + 1}: {old.strip()} -> {lines[at].strip()}"
    return Changed(make.__name__, told, path, before)


@lru_cache
def _places(home: Path, make: Callable[..., str], some: str) -> list[tuple[Path, int]]:
    """Return the lines that a kind of change can be made in."""
    return [
        (path, at)
        for path in sorted(home.rglob("*.yaml"))
        for at, line in enumerate(path.read_text("utf-8").splitlines())
        if make(line, random.Random(0), [some, "another"]) != line
    ]


class Kept:
    """The book as it is, and its answers, each worked out when it is first asked for."""

    def __init__(self, book: Book, cases: Mapping[str, Mapping[str, Any]]) -> None:
        self.book = book
        self.cases = cases
        self._answers: dict[str, Answer] = {}

    def answer(self, name: str, document: Mapping[str, Any], how: Callable[..., Answer]) -> Answer:
        """Return what the book says of a case or of a single fact."""
        if name not in self._answers:
            self._answers[name] = how(document, self.book)
        return self._answers[name]


def caught(home: Path, kept: Kept, facts: bool) -> str:
    """Return what notices the change, or "" where nothing does."""
    book, problems = making.run(lay(home, ()))
    if problems or book is None:
        return "check"
    if any(o.status != PASSED for o in try_examples(book, "reference", _asked_otherwise(kept.book, book))):
        return "test"
    differing = differing_rules(kept.book, book)
    for fact in facts_between(kept.book, book) if facts else ():
        before = kept.answer(f"alone {fact.name}", fact.document, said_alone)
        if fact_change(fact.name, before, said_alone(fact.document, book), differing):
            return "compare, a single fact"
    for name, case in kept.cases.items():
        before = kept.answer(name, case, answer)
        if change(name, before, answer(case, book), differing, 0.02):
            return "compare, a case"
    return "check, a slip" if making.run(lay(home, ()), slips=True)[1] else ""


def _asked_otherwise(old: Book, new: Book) -> list[str]:
    """Return the rules whose examples may come out otherwise: all, or none where only weights moved."""

    def asked(rule: Rule) -> tuple[object, ...]:
        return rule.when, rule.concludes, [(e.intake, e.fires) for e in rule.examples]

    same = old.rules.keys() == new.rules.keys() and all(
        asked(old.rules[name]) == asked(rule) for name, rule in new.rules.items()
    )
    read = {name for name, one in new.inspections.items() if old.inspections[name].reading != one.reading}
    if same:
        return [name for name, rule in new.rules.items() if read & _read_in(rule)]
    return [name for name, rule in new.rules.items() if rule.examples]


def _read_in(rule: Rule) -> set[str]:
    """Return the inspections of which examples of a rule give a reading as a value."""
    return {reading["inspection"] for one in rule.examples for reading in one.intake.get("readings", ())}


def read_once() -> None:
    """Read files that did not change only once, and name no digest, which nothing here asks for."""
    checked: dict[tuple[int, str], Any] = {}
    roots: list[Any] = []  # so that none of their numbers is given again

    def validated(root: Any, schema: str) -> Any:
        key = (id(root), schema)
        if key not in checked:
            roots.append(root)
            checked[key] = validate_items(root, schema)
        return checked[key]

    patch.multiple(raw, compose=lru_cache(100_000)(compose), validate_items=validated).start()
    patch.multiple(making, digest_of=lambda _raw: "").start()


def main() -> None:
    """Make the changes and print what caught them, and those that nothing caught."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--changes", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--cases", type=int, default=10_000, help="compare at most so many shipped cases")
    parser.add_argument("--cases-only", action="store_true", help="ask no single facts")
    asked = parser.parse_args()
    read_once()
    book = load_book()
    kept = Kept(book, dict(list(sample(book, (), 0, 1).items())[: asked.cases]))
    causes = list(book.causes)
    counts: Counter[tuple[str, str]] = Counter()
    with tempfile.TemporaryDirectory(prefix="proveout-") as place:
        home = Path(shutil.copytree(rules_dir(), Path(place) / "rules"))
        making.run(lay(home, ()))
        for number in range(1, asked.changes + 1):
            made = changed(home, random.Random(f"{asked.seed} {number}"), causes)
            by = caught(home, kept, not asked.cases_only) or "survived"
            made.undo()
            counts[made.kind, by] += 1
            if by == "survived":
                print(f"survived {made.kind}: {made.told}", flush=True)
            if number % 10 == 0 or number == asked.changes:
                print(f"{number}: {told(counts)}", flush=True)


def told(counts: Counter[tuple[str, str]]) -> str:
    """Return the counts in a line: all, by what caught them, and by kind."""
    total = counts.total()
    by: Counter[str] = Counter()
    kinds: dict[str, list[int]] = {}
    for (kind, how), number in counts.items():
        by[how] += number
        seen = kinds.setdefault(kind, [0, 0])
        seen[0] += number * (how != "survived")
        seen[1] += number
    each = ", ".join(f"{kind} {seen} of {of}" for kind, (seen, of) in sorted(kinds.items()))
    return f"caught {100 * (total - by['survived']) / total:.1f} %; {dict(by)}; {each}"


if __name__ == "__main__":
    main()
