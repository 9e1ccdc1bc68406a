"""Frequencies that stand at a cause: what else it is seen with, at rows and rules of other topics.

A row names the causes of its own topic. A cause of another one says itself under ``seen_at`` how often it is
seen there, so that all that is known of it stands in one file, and a shop adds a cause without touching what
it is seen with. Such a frequency becomes part of that row or rule, with the place at which it stands.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingOf
from typing import TypeAlias

from msgspec import Struct, field

from proveout.book.fields import inner, number
from proveout.book.topic import scaled
from proveout.model.problem import Problem
from proveout.text.near import did_you_mean
from proveout.text.node import Key, Mapping, Node, Scalar

#: The key of a cause under which it says so.
SEEN_AT = "seen_at"

#: What causes say of one row or rule: each with its key there, its frequency, and whether it has the layer of
#: the rule.
Said: TypeAlias = tuple[tuple[str, Key, Node, bool], ...]


class SeenAt(Struct):
    """What the causes of all layers say under ``seen_at``.

    Attributes:
        layers: names of the layers, lowest first.
        said: by the id of a row or rule, each cause with its key there, its frequency and its layer.
        twins: rows of codes that are seen as another one is, to that one's row and the factor.
    """

    layers: list[str] = field(default_factory=list)
    said: dict[str, dict[str, tuple[Key, Node, str]]] = field(default_factory=dict)
    twins: dict[str, tuple[str, float]] = field(default_factory=dict)

    def learn(self, cause: str, node: Mapping, layer: str) -> None:
        """Take up what a cause says; one that replaces another keeps of that one what it does not state."""
        for key, value in inner(node, SEEN_AT):
            self.said.setdefault(key.name, {})[cause] = (key, value, layer)

    def pair(self, code: str, node: Mapping) -> None:
        """Take up as which other code a code is seen; one that says no such thing any more is no twin."""
        other = inner(node, "seen_as").get("code")
        self.twins.pop(f"code:{code}", None)
        if isinstance(other, Scalar):
            self.twins[f"code:{code}"] = (f"code:{other.text}", number(inner(node, "seen_as"), "times", 1.0))

    def strangers(self, rules: MappingOf[str, Mapping]) -> list[Problem]:
        """Return a complaint about each row or rule named that weighs nothing or does not exist."""
        weighing = [name for name, node in rules.items() if "weigh" in node]
        known = set(weighing)
        return [
            Problem(
                key.place,
                "seen-at-unknown",
                f"'{name}' under '{SEEN_AT}'",
                "the id of a row or rule that weighs causes, such as code:P0442 or INSPECTION=RESULT",
                did_you_mean(name, weighing) or "write a rule with 'seen_with' in the place of this",
            )
            for name, said in self.said.items()
            if name not in known
            for key, _, _ in said.values()
        ]

    def of(self, name: str, layer: str) -> Said:
        """Return what causes say of a row of some layer, and of the one as which it is seen, by cause.

        Those of its own layer and of layers above it do. A layer that replaces a row says all that is to be
        said there; what stands below counts no longer.
        """
        other, times = self.twins.get(name, ("", 1.0))
        found: dict[str, tuple[Key, Node, str]] = {
            cause: (key, scaled(value, times, key.place), its_layer)
            for cause, (key, value, its_layer) in self.said.get(other, {}).items()
        }
        found |= self.said.get(name, {})
        below = self.layers[: self.layers.index(layer)]
        return tuple(
            (cause, key, value, its_layer == layer)
            for cause, (key, value, its_layer) in sorted(found.items())
            if its_layer not in below
        )


def unseen(name: str, rule: Mapping) -> list[Problem]:
    """Return a complaint about a row that is seen with no cause."""
    weights = rule.get("weigh")
    if not isinstance(weights, Mapping) or weights.pairs:
        return []
    mend = f"add 'seen_with', or '{SEEN_AT}: {{{name}: ...}}' at a cause"
    return [Problem(rule.place, "frequencies-missing", f"'{name}' without frequencies", "causes", mend)]


def with_said(rule: Mapping, problems: list[Problem], said: Said) -> Mapping:
    """Return a rule with what causes say of it."""
    weights = rule.get("weigh")
    if not said or not isinstance(weights, Mapping):
        return rule
    named = {key.name: key for key, _ in weights}
    pairs = {key.name: (key, value) for key, value in weights}
    for cause, key, value, of_same_layer in said:
        if cause in named and of_same_layer:
            saw = f"the frequency of '{cause}' again (first at {named[cause].place})"
            mend = "leave it at one of the two"
            problems.append(Problem(key.place, "stated-twice", saw, "one frequency", mend))
        pairs[cause] = (Key(cause, key.place), value)
    full = Mapping(tuple(pairs.values()), weights.place)
    return Mapping(tuple((k, full if k.name == "weigh" else v) for k, v in rule), rule.place)
