"""The size of the shipped book by kind of text, in how many files a cause is named, and the longest files.

python tests/bench/book_size.py
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers_size import named_in, rule_files
from proveout.book.shipped import rules_dir
from proveout.text.compose import compose
from proveout.text.node import Listing, Mapping, Node, Scalar

#: Kinds of text by the key that they stand under, the nearest one above that is listed.
KINDS = {
    "steps": "steps and leads of inspections",
    "leads": "steps and leads of inspections",
    "false_readings": "what misleads, limits to damage",
    "damage_limit": "what misleads, limits to damage",
    "means": "what a result, code or term means",
    "meaning": "what a result, code or term means",
    "text": "what a result, code or term means",
    "note": "what a result, code or term means",
    "does_not_mean": "what a code does not mean",
    "because": "reasons",
    "unweighed": "reasons",
    "stays": "reasons",
    "notes": "remedies: notes, and after the repair",
    "after_repair": "remedies: notes, and after the repair",
    "words": "titles, and words that people say",
    "title": "titles, and words that people say",
    "seen_with": "frequencies and base rates",
    "seen_at": "frequencies and base rates",
    "seen_as": "frequencies and base rates",
    "otherwise": "frequencies and base rates",
    "base_rate": "frequencies and base rates",
    "more_likely_when": "frequencies and base rates",
    "rates": "frequencies and base rates",
    "source": "sources",
    "sources": "sources",
    "all_sources": "sources",
    "base_rate_source": "sources",
    "limits_source": "sources",
    "damage_limit_source": "sources",
    "reference": "sources",
    "limits": "limits and readings",
    "reading": "limits and readings",
    "when": "conditions and examples of rules",
    "examples": "conditions and examples of rules",
    "state": "declared state, cautions, tools, access",
    "cautions": "declared state, cautions, tools, access",
    "tools": "declared state, cautions, tools, access",
    "access": "declared state, cautions, tools, access",
    "usually_with": "ids and references",
    "safety_limits": "ids and references",
    "shows": "ids and references",
    "before_buying": "ids and references",
    "id": "ids and references",
}
OTHER, NAMES, MARKUP = "all else", "names of keys", "indentation, line ends, marks, comments"


def leaves(node: Node, kind: str = OTHER) -> Iterator[tuple[str, int]]:
    """Return the bytes of every value below a node, with the kind of text that it is.

    A key counts where it is itself an id: a cause with its frequency, a result with its limits.
    """
    if isinstance(node, Scalar):
        yield kind, len(node.text.encode())
    elif isinstance(node, Listing):
        for item in node.items:
            yield from leaves(item, kind)
    elif isinstance(node, Mapping):
        for key, value in node:
            own = key.name not in KINDS and kind in ("frequencies and base rates", "limits and readings")
            yield kind if own else NAMES, len(key.name.encode())
            yield from leaves(value, kind if kind == "sources" else KINDS.get(key.name, kind))


def by_kind(texts: dict[Path, str]) -> list[tuple[str, int]]:
    """Return the bytes of each kind of text, most first; what is no value is the markup."""
    found: Counter[str] = Counter()
    for path, text in texts.items():
        for kind, size in leaves(compose(text, path.name)):
            found[kind] += size
    found[MARKUP] = sum(len(text.encode()) for text in texts.values()) - sum(found.values())
    return found.most_common()


def main() -> None:
    """Measure and print."""
    texts, files = rule_files(), sorted(named_in().values())
    size = sum(len(text.encode()) for text in texts.values())
    print(f"{len(texts)} files, {size / 1e6:.2f} MB")
    print(f"{len(files)} causes, each named in {median(files):g} files (median), {files[-1]} at most\n")
    print("| kind of text | kB | share |\n|---|---|---|")
    for kind, part in by_kind(texts):
        print(f"| {kind} | {part / 1e3:.0f} | {part / size:.0%} |")
    print()
    longest = sorted(((text.count("\n"), path) for path, text in texts.items()), reverse=True)
    for lines, path in longest[:8]:
        print(f"{lines:5} lines  {path.relative_to(rules_dir())}")


if __name__ == "__main__":
    main()
