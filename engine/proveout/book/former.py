"""Names that entries had before: records and layers that use them mean the entry of today.

An inspection or symptom lists its former ids under ``formerly``; an inspection maps results that it no longer
has to those that now say the same under ``results_formerly``.
"""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Mapping as MappingOf
from functools import partial

from msgspec import Struct, field

from proveout.book.fields import inner, texts
from proveout.text.node import Key, Listing, Mapping, Node, Scalar

#: Kinds whose entries may have former ids, with the word by which conditions name them.
NAMED = {"inspections": "inspection", "symptoms": "symptom"}


class Former(Struct):
    """Former names to those of today.

    Attributes:
        ids: by the word of conditions (``inspection``, ``symptom``), former id to id.
        results: by today's inspection id, former result to result.
    """

    ids: dict[str, dict[str, str]] = field(default_factory=lambda: {word: {} for word in NAMED.values()})
    results: dict[str, dict[str, str]] = field(default_factory=dict)

    def learn(self, kind: str, name: str, node: Mapping) -> None:
        """Take up what an entry says of its former names."""
        if kind not in NAMED:
            return
        self.ids[NAMED[kind]].update(dict.fromkeys(texts(node, "formerly"), name))
        for old, new in inner(node, "results_formerly"):
            if isinstance(new, Scalar):
                self.results.setdefault(name, {})[old.name] = new.text

    def flat(self) -> MappingOf[str, str]:
        """Return all names in one mapping: ``inspection OLD`` to the id, ``result INSPECTION OLD`` to it."""
        found = {f"{word} {old}": new for word, ids in self.ids.items() for old, new in ids.items()}
        for inspection, results in self.results.items():
            found.update({f"result {inspection} {old}": new for old, new in results.items()})
        return found

    def today(self, kind: str, node: Mapping) -> Mapping:
        """Return an entry with today's names for what it names by former ones."""
        if not any(self.ids.values()) and not self.results:
            return node
        if kind == "inspections":
            return self._inspection(node)
        if kind == "symptoms":
            return self._symptom(node)
        if kind in ("rules", "own-figures", "driving-on"):
            return self._walked(node)
        if kind == "causes":
            return self._cause(node)
        return node

    def _id(self, word: str, name: str) -> str:
        return self.ids[word].get(name, name)

    def _result(self, inspection: str, result: str) -> str:
        return self.results.get(inspection, {}).get(result, result)

    def _row(self, name: str) -> str:
        """Return the id of a row as it is now; any other text as it stands."""
        inspection, equals, result = name.partition("=")
        if not equals and name.startswith("symptom:"):
            return f"symptom:{self._id('symptom', name.removeprefix('symptom:'))}"
        if not equals:
            return name
        inspection = self._id("inspection", inspection)
        return f"{inspection}={self._result(inspection, result)}"

    def _walked(self, node: Mapping) -> Mapping:
        """Rename within conditions, examples and row ids, wherever they stand in a rule."""
        named = node.get("inspection")
        inspection = self._id("inspection", named.text) if isinstance(named, Scalar) else ""

        def renamed(key: Key, value: Node) -> Node:
            if key.name in ("id", "replaces"):
                return _text(value, self._row)
            if key.name in ("inspection", "symptom"):
                return _text(value, lambda text: self._id(key.name, text))
            if key.name == "result":
                return _text(value, lambda text: self._result(inspection, text))
            if key.name == "limits" and isinstance(value, Mapping):
                return _keys(value, lambda text: self._result(inspection, text))
            if key.name == "results" and isinstance(value, Mapping):
                return self._found(value)
            if isinstance(value, Listing):
                word = "symptom" if key.name in ("symptoms", "symptoms_absent") else ""
                return Listing(tuple(self._item(item, word) for item in value.items), value.place)
            return self._walked(value) if isinstance(value, Mapping) else value

        return Mapping(tuple((key, renamed(key, value)) for key, value in node), node.place)

    def _cause(self, node: Mapping) -> Mapping:
        """Rename the rows that a cause is seen at."""
        pairs = (
            (key, _keys(value, self._row) if key.name == "seen_at" and isinstance(value, Mapping) else value)
            for key, value in node
        )
        return Mapping(tuple(pairs), node.place)

    def _item(self, item: Node, word: str) -> Node:
        if isinstance(item, Mapping):
            return self._walked(item)
        return _text(item, lambda text: self._id(word, text)) if word else item

    def _found(self, results: Mapping) -> Mapping:
        """Rename in the short form of readings: inspection to result."""
        pairs = []
        for key, value in results:
            name = self._id("inspection", key.name)
            pairs.append((Key(name, key.place), _text(value, partial(self._result, name))))
        return Mapping(tuple(pairs), results.place)

    def _symptom(self, node: Mapping) -> Mapping:
        """Rename a symptom that a layer puts in the place of ours."""
        names = ("id", "replaces")
        pairs = ((k, _text(v, partial(self._id, "symptom")) if k.name in names else v) for k, v in node)
        return Mapping(tuple(pairs), node.place)

    def _inspection(self, node: Mapping) -> Mapping:
        """Rename an inspection that a layer puts in the place of ours, and its results."""
        named = node.get("id")
        name = self._id("inspection", named.text) if isinstance(named, Scalar) else ""

        def result(text: str) -> str:
            return self._result(name, text)

        def renamed(key: Key, value: Node) -> Node:
            if key.name in ("id", "replaces"):
                return _text(value, lambda text: self._id("inspection", text))
            if key.name == "results" and isinstance(value, Mapping):
                return _keys(value, result)
            if key.name == "proves" and isinstance(value, Mapping):
                return Mapping(tuple((k, _texts(v, result)) for k, v in value), value.place)
            if key.name == "reading" and isinstance(value, Mapping):
                limits = ((k, _keys(v, result) if k.name == "limits" and isinstance(v, Mapping) else v)
                          for k, v in value)  # fmt: skip
                return Mapping(tuple(limits), value.place)
            return value

        return Mapping(tuple((key, renamed(key, value)) for key, value in node), node.place)


def _text(node: Node, rename: Callable[[str], str]) -> Node:
    """Return a text renamed; any other node as it is."""
    if not isinstance(node, Scalar) or (name := rename(node.text)) == node.text:
        return node
    return Scalar(name, name, node.place)


def _texts(node: Node, rename: Callable[[str], str]) -> Node:
    if isinstance(node, Listing):
        return Listing(tuple(_text(item, rename) for item in node.items), node.place)
    return _text(node, rename)


def _keys(node: Mapping, rename: Callable[[str], str]) -> Mapping:
    return Mapping(tuple((Key(rename(key.name), key.place), value) for key, value in node), node.place)
