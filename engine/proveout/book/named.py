"""Named texts: a sentence that several entries share is written once, and they name it.

    texts:
      - {id: sensor-circuit, text: "Not that the sensor is bad: its plug and wires belong to the circuit."}
    codes:
      - {id: P0117, meaning: ..., does_not_mean: {text: sensor-circuit}}

A file's section ``texts`` holds what its neighbours share, ``rules/common/texts.yaml`` what many do. An entry
that names one is as if the sentence stood there, so that nothing further in the program knows of it. One that
a pattern names may hold the pattern's parameters.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as MappingOf
from functools import lru_cache
from operator import is_

from proveout.book.remembered import MOST, remembered
from proveout.model.problem import Place, Problem
from proveout.text.near import did_you_mean
from proveout.text.node import Key, Listing, Mapping, Node, Scalar, mappings_in

#: The section that holds them, and the key by which one is named.
TEXTS, TEXT = "texts", "text"


def texts_of(root: Node) -> Iterator[Mapping]:
    """Return the sound entries of a file's section of texts."""
    section = root.get(TEXTS) if isinstance(root, Mapping) else None
    for item in section.items if isinstance(section, Listing) else ():
        if isinstance(item, Mapping) and all(isinstance(item.get(key), Scalar) for key in ("id", TEXT)):
            yield item


class Texts:
    """The texts of all layers by id; puts them where they are named, and notes which are."""

    def __init__(self, known: MappingOf[str, Mapping]) -> None:
        self._known = known
        self._named: set[str] = set()

    def ids(self) -> dict[str, str]:
        """Return every text by its id."""
        return {name: _shown(node.get(TEXT)) for name, node in self._known.items()}

    def unnamed(self) -> Iterator[tuple[str, Place]]:
        """Return the ids of those that nothing names, each with its place."""
        return ((name, node.place) for name, node in self._known.items() if name not in self._named)

    def of(self, root: Node) -> Texts:
        """Return the texts that a node names, and note that they are; all where it names an unknown one."""
        names = _named_in(root)
        self._named |= names & self._known.keys()
        if not names <= self._known.keys():
            return self
        return _few(tuple((name, self._known[name]) for name in sorted(names)))

    def filled(self, node: Node, problems: list[Problem]) -> Node:
        """Return a node with the texts that it names in their places; complaints go to ``problems``."""
        return self._filled(node, problems) if _named_in(node) else node

    def _filled(self, node: Node, problems: list[Problem]) -> Node:
        if isinstance(node, Scalar):
            return node
        if isinstance(node, Listing):
            items = tuple(
                item if type(item) is Scalar else self._filled(item, problems) for item in node.items
            )
            same = all(map(is_, items, node.items))
            return node if same else Listing(items, node.place)
        if _names(node):
            return self._text(node, problems)
        pairs = tuple(
            pair if type(pair[1]) is Scalar else _with_value(pair, self._filled(pair[1], problems))
            for pair in node.pairs
        )
        return node if all(map(is_, pairs, node.pairs)) else Mapping(pairs, node.place)

    def _text(self, node: Mapping, problems: list[Problem]) -> Node:
        """Return the text that a node names, at the node's own place, which is where it was meant."""
        name = _shown(node.get(TEXT))
        known = self._known.get(name)
        if known is None:
            mend = did_you_mean(name, self._known) or f"declare it in a section '{TEXTS}:'"
            saw = f"the text '{name}', which no layer has"
            problems.append(Problem(node.place, "text-unknown", saw, "a known text", mend))
            return Scalar(name, name, node.place)
        text = _shown(known.get(TEXT))
        return Scalar(text, text, node.place)


@lru_cache(maxsize=MOST)
def _few(known: tuple[tuple[str, Mapping], ...]) -> Texts:
    """Return the very same texts for the same few of them."""
    return Texts(dict(known))


@remembered
def _named_in(node: Node) -> frozenset[str]:
    """Return the names of all texts that a node names."""
    return frozenset(_shown(one.pairs[0][1]) for one in mappings_in(node) if _names(one))


def _names(node: Mapping) -> bool:
    """Say whether a node stands for a text by its name."""
    return len(node.pairs) == 1 and node.pairs[0][0].name == TEXT


def _with_value(pair: tuple[Key, Node], value: Node) -> tuple[Key, Node]:
    """Return a pair with another value, or the very same where it is the same."""
    return pair if value is pair[1] else (pair[0], value)


def _shown(node: Node | None) -> str:
    return node.text if isinstance(node, Scalar) else ""
