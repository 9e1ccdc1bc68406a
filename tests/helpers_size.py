"""How large the shipped book is, and in how many files a cause is named."""

from __future__ import annotations

import re
from pathlib import Path

from proveout.book.load import load_book
from proveout.book.shipped import rules_dir

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)+")


def rule_files() -> dict[Path, str]:
    """Return the text of every rule file of the shipped book."""
    return {path: path.read_text("utf-8") for path in sorted(rules_dir().rglob("*.yaml"))}


def named_in() -> dict[str, int]:
    """Return for every cause in how many rule files its id stands.

    One that a pattern makes stands in the file of its use, whether or not the use writes its id out.
    """
    causes = load_book().causes
    found: dict[str, set[str]] = {}
    for name, cause in causes.items():
        at = cause.place.used_at or str(cause.place)
        found[name] = {at.split(":")[0].rpartition("rules/")[2]}
    for path, text in rule_files().items():
        shown = path.relative_to(rules_dir()).as_posix()
        for word in causes.keys() & set(_ID.findall(text)):
            found[word].add(shown)
    return {name: len(files) for name, files in found.items()}
