"""The book that comes with the program: every file opens in an editor with its schema."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from proveout.book import rules_dir, schemas_dir

FILES = sorted(rules_dir().rglob("*.yaml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(rules_dir()).as_posix())
def test_each_file_begins_with_the_way_to_its_schema(path: Path) -> None:
    first = path.read_text("utf-8").partition("\n")[0]
    match = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)
    assert match is not None
    name = "pattern" if path.parent.name == "patterns" else "book"
    assert (path.parent / match[1]).resolve() == schemas_dir() / f"{name}.schema.json"
