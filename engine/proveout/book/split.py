"""What one file holds, or what a use of a pattern gave: its entries in shape, and what is known of the rest.

A file is split up once as long as it, and what its layer states for all files, stay the same.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct, field

from proveout.book.entry import RawEntry, id_of
from proveout.book.files import KINDS
from proveout.book.named import Texts
from proveout.book.patterns import Pattern
from proveout.book.remembered import remembered, remembered_with_problems
from proveout.book.topic import Topic
from proveout.model.problem import Problem
from proveout.text.node import Listing, Mapping, Node
from proveout.text.schema import Path, validate_items


class Split(Struct):
    """The content of one file.

    Attributes:
        entries: the sound ones in order, each with its rows.
        declared: section and id of every one, unsound ones included.
        codes: those among them, by id.
        unread: sections of which an entry has no id.
    """

    entries: list[tuple[RawEntry, tuple[RawEntry, ...]]] = field(default_factory=list)
    declared: list[tuple[str, str]] = field(default_factory=list)
    codes: list[tuple[str, Mapping]] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)


@remembered_with_problems
def split(
    root: Node,
    problems: list[Problem],
    kind: str,
    layer: str,
    common: Mapping | None,
    texts: Texts,
    bad: frozenset[Path],
) -> Split:
    """Split up one file; nobody changes what this returns.

    Args:
        root: the file.
        problems: where complaints go.
        kind: what its name says that a list in it holds, or "".
        layer: that it belongs to.
        common: the sources that hold for all of its layer.
        texts: that it may name.
        bad: where it does not fit its schema.
    """
    found = Split()
    root = texts.filled(root, problems)
    topic = Topic(root, problems, common) if isinstance(root, Mapping) else None
    for section, path, node in _nodes(root, kind):
        name = id_of(node)
        if not isinstance(node, Mapping) or name is None:
            found.unread.add(section)
            continue
        found.declared.append((section, name))
        if section == "codes":
            found.codes.append((name, node))
        if path not in bad and path[:-1] not in bad:
            shaped, rows = topic.shaped(section, node) if topic else (node, ())
            own = tuple(RawEntry(of, str(id_of(row)), row, layer, row=True) for of, row in rows)
            found.entries.append((RawEntry(section, name, shaped, layer), own))
    return found


@remembered_with_problems
def pattern_of(root: Mapping, problems: list[Problem], common: Mapping | None, texts: Texts) -> Pattern:
    """Return the pattern that a file holds."""
    filled = texts.filled(root, problems)
    return Pattern(filled if isinstance(filled, Mapping) else root, common)


@remembered
def faults(root: Node, schema: str) -> tuple[tuple[Path, Problem], ...]:
    """Return what does not fit a schema, as ``validate_items`` does."""
    return validate_items(root, schema)


def _nodes(root: Node, kind: str) -> Iterator[tuple[str, tuple[str | int, ...], Node]]:
    """Return each entry of a file: its kind, where it stands in the document, and its node."""
    if isinstance(root, Listing):
        yield from ((kind, (index,), node) for index, node in enumerate(root.items))
    elif isinstance(root, Mapping):
        for key, section in root:
            if key.name in KINDS and isinstance(section, Listing):
                for index, node in enumerate(section.items):
                    yield key.name, (key.name, index), node
