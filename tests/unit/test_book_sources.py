"""Sources name what was read, not how somebody came by it."""

from __future__ import annotations

import re

from proveout.book.shipped import rules_dir

#: How a page was found is no part of a citation.
WAY = re.compile(r"transcript|search (?:excerpt|tool|result)|look-?up tool|\bsession\b", re.IGNORECASE)


def test_no_source_or_judgement_tells_how_it_was_found() -> None:
    texts = (*rules_dir().rglob("*.yaml"), *rules_dir().rglob("*.md"))
    found = [(path.name, hit[0]) for path in texts if (hit := WAY.search(path.read_text(encoding="utf-8")))]
    assert found == []
