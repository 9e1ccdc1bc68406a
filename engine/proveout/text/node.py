"""Located nodes: what a YAML text says, each value and each key with its place.

A tree has no cycles, so that the collector of these need not look at the hundred thousands of a book.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, TypeAlias

from msgspec import Struct

from proveout.model.problem import Place

#: What a scalar can stand for.
ScalarValue: TypeAlias = str | int | float | bool | None


class Scalar(Struct, frozen=True, gc=False):
    """A single value.

    Attributes:
        value: what it stands for by the YAML 1.2 core schema as narrowed in ``scalars.resolve``.
        text: the characters as written, quotes and escapes undone.
        place: where it begins.
    """

    value: ScalarValue
    text: str
    place: Place


class Listing(Struct, frozen=True, gc=False):
    """A list of nodes, with the place where it begins."""

    items: tuple[Node, ...]
    place: Place


class Key(Struct, frozen=True, gc=False):
    """A key of a mapping: always text, whatever it looks like."""

    name: str
    place: Place


class Mapping(Struct, frozen=True, gc=False):
    """Keys and their nodes in the order of the text; no key occurs twice."""

    pairs: tuple[tuple[Key, Node], ...]
    place: Place

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and self.get(name) is not None

    def __iter__(self) -> Iterator[tuple[Key, Node]]:
        return iter(self.pairs)

    def get(self, name: str) -> Node | None:
        """Return the node under ``name``, or None."""
        for key, node in self.pairs:  # a loop, since this is asked a few hundred thousand times for a book
            if key.name == name:
                return node
        return None

    def key_place(self, name: str) -> Place:
        """Return the place of the key ``name``, or of the mapping itself where there is none."""
        return next((key.place for key, _ in self.pairs if key.name == name), self.place)


#: Any node.
Node: TypeAlias = Scalar | Listing | Mapping


def plain(node: Node) -> Any:
    """Return the same content as plain ``dict``, ``list`` and scalar values, without places."""
    # Scalars, of which there are most, are taken up by what holds them: half the time.
    if isinstance(node, Mapping):
        return {key.name: value.value if type(value) is Scalar else plain(value) for key, value in node.pairs}
    if isinstance(node, Listing):
        return [item.value if type(item) is Scalar else plain(item) for item in node.items]
    return node.value


def mappings_in(node: Node) -> Iterator[Mapping]:
    """Return every mapping within a node, itself included, in the order of the text."""
    waiting = [node]
    while waiting:
        one = waiting.pop()
        if isinstance(one, Mapping):
            yield one
            waiting += [value for _, value in reversed(one.pairs) if type(value) is not Scalar]
        elif isinstance(one, Listing):
            waiting += [item for item in reversed(one.items) if type(item) is not Scalar]


def find(node: Node, path: tuple[str | int, ...]) -> Node:
    """Follow keys and indexes down from ``node`` as far as they lead."""
    for step in path:
        if isinstance(node, Mapping) and isinstance(step, str):
            inner = node.get(step)
        elif isinstance(node, Listing) and isinstance(step, int) and step < len(node.items):
            inner = node.items[step]
        else:
            inner = None
        if inner is None:
            return node
        node = inner
    return node
