"""A circuit pattern as text: what a use of it gives, and what it makes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from proveout.book.patterns import Pattern, has_default
from proveout.show.figures import wrapped
from proveout.text.node import Listing, Mapping, Node, Scalar

#: What an entry of the same use is called by, after its ID.
_OWN = re.compile(r"\{as\}-([a-z0-9]+(?:-[a-z0-9]+)*)")


def pattern_text(pattern: Pattern, others: Iterable[Pattern], width: int) -> str:
    """Return what a use must and may give, each with its default, and the entries that come of it.

    What it names besides, and other patterns make, is told with these.
    """
    must = [name for name, how in pattern.takes.items() if not has_default(how)]
    lines = [f"pattern {pattern.id}  ({pattern.place})"]
    given = "".join(f", {name}: ..." for name in must)
    lines += ["", "A use, in a section `uses`:", f"  - {{pattern: {pattern.id}, as: ID{given}}}"]
    lines += ["", "It must give"]
    for name in must:
        lines += wrapped(_noted(pattern.takes[name]), width, f"  {name}  ")
    if len(must) < len(pattern.takes):
        lines += ["", "It may give"]
    for name, how in pattern.takes.items():
        if name not in must:
            lines += wrapped(f"{_noted(how)} (else {_short(_part(how, 'default'))})", width, f"  {name}  ")
    lines += ["", "It makes, ID before each"]
    for section, names in _made(pattern):
        lines += wrapped(", ".join(names), width, f"  {section}  ")
    made = set(pattern.names)
    besides = {name for name in _named(pattern.sections) if name not in made}
    for other in others:
        if shared := sorted(besides & set(other.names)):
            lines += ["", f"It names, and a use of {other.id} as the same ID would make"]
            lines += wrapped(", ".join(f"-{name}" for name in shared), width, "  ")
    return "\n".join(lines)


def _named(node: Node) -> Iterator[str]:
    """Return what a pattern calls entries of its use by, wherever it names one."""
    if isinstance(node, Scalar):
        yield from (found[1] for found in _OWN.finditer(node.text))
    elif isinstance(node, Listing):
        for item in node.items:
            yield from _named(item)
    else:
        for key, value in node:
            yield from (found[1] for found in _OWN.finditer(key.name))
            yield from _named(value)


def _made(pattern: Pattern) -> Iterator[tuple[str, list[str]]]:
    """Return of each section the names of its entries, without what they have in common."""
    for key, section in pattern.sections:
        if isinstance(section, Listing):
            ids = (_short(_part(item, "id")) for item in section.items)
            yield key.name, [name.removeprefix("{as}") for name in ids]


def _noted(how: Node) -> str:
    return _short(_part(how, "note"))


def _part(node: Node, key: str) -> Node | None:
    return node.get(key) if isinstance(node, Mapping) else None


def _short(node: Node | None) -> str:
    """Return a value in a line."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Listing):
        return ", ".join(map(_short, node.items)) or "nothing"
    if isinstance(node, Mapping):
        return ", ".join(f"{key.name} {_short(value)}" for key, value in node)
    return ""
