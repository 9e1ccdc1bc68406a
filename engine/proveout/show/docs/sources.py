"""The sources of the book: each a page with everything that rests on it."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256

from proveout.model.book import Book
from proveout.show.docs.leaf import Block, Leaf, Line
from proveout.show.docs.links import Links, rule_line


def source_id(source: str) -> str:
    """Return a name for a source: it has none of its own."""
    return sha256(source.encode()).hexdigest()[:12]


def source_leaves(book: Book, links: Links) -> Iterator[Leaf]:
    """Return a page for each source, in order of its text."""
    found: dict[str, dict[Line, None]] = {}
    for source, user in _resting(book, links):
        if source:
            found.setdefault(source, {})[user] = None
    for source in sorted(found):
        block = Block(f"Rests on it ({len(found[source])})", tuple(found[source]), "list")
        yield Leaf("sources", source_id(source), source, (), (block,))


def _resting(book: Book, links: Links) -> Iterator[tuple[str, Line]]:
    """Return each source with what rests on it."""
    for rule in book.rules.values():
        yield rule.source, rule_line(rule)
    for cause in book.causes.values():
        yield cause.base_rate_source, links.to("causes", cause.id, ", base rate")
    for inspection in book.inspections.values():
        yield inspection.source, links.to("inspections", inspection.id)
        for limit in inspection.safety_limits:
            yield limit.source, links.to("inspections", inspection.id, ", damage limit")
        if inspection.reading:
            yield inspection.reading.limits_source, links.to("inspections", inspection.id, ", limits")
    for code in book.words.codes.values():
        yield code.source, links.to("codes", code.id)
    for driving in book.driving:
        yield driving.source, links.to("driving-on", driving.id)
