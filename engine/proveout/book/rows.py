"""Rows: frequencies stated at what is observed, each in the shape of a rule.

A result, code, symptom, circumstance or finding may say with which causes it is seen, and how often. A row is
named by what it observes, written as ``rules new --observe`` takes it: ``purge-valve-holds-vacuum=leaks``,
``code:P0442``, ``symptom:fuel-smell``, ``happens:in-rain``, ``finding:open-system``.
"""

from __future__ import annotations

from proveout.text.node import Key, Mapping, Node, Scalar

#: Sections whose entries may carry a row, with the word by which conditions name them.
OBSERVED = {"codes": "code", "symptoms": "symptom", "circumstances": "happens", "findings": "finding"}
#: The keys of a row.
KEYS = frozenset({"seen_with", "otherwise", "because", "source"})
#: The key under which an entry or result says what it means for driving on.
DRIVING = "driving_on"


def text_node(text: str, place_of: Node | Key) -> Scalar:
    """Return a text that stands where ``place_of`` does."""
    return Scalar(text, text, place_of.place)


def rule_node(
    name: str, at: Key, row: Mapping, because: Node, source: Node | None, replaces: bool
) -> Mapping:
    """Return the rule that a row stands for.

    Args:
        name: id of the row.
        at: the key at which the row stands; its place is the rule's.
        row: what holds ``seen_with`` and ``otherwise``; without the first, causes say theirs.
        because: the reason.
        source: where the figures come from.
        replaces: whether the row's entry takes the place of one of a lower layer, and so the row does too.
    """
    pairs: list[tuple[Key, Node]] = [(Key("id", at.place), text_node(name, at))]
    if replaces:
        pairs.append((Key("replaces", at.place), text_node(name, at)))
    pairs.append((Key("when", at.place), condition_of(name, at)))
    seen_with = row.get("seen_with") or Mapping((), at.place)
    pairs.append((Key("weigh", seen_with.place), seen_with))
    pairs += [(key, value) for key, value in row if key.name == "otherwise"]
    pairs.append((Key("because", because.place), because))
    if source is not None:
        pairs.append((Key("source", source.place), source))
    return Mapping(tuple(pairs), at.place)


def driving_node(name: str, at: Key, said: Mapping, replaces: bool) -> Mapping:
    """Return the entry of the section ``driving-on`` that stands at what it observes.

    Args:
        name: id of the row.
        at: the key at which it stands.
        said: what it means for driving on.
        replaces: whether it takes the place of one of a lower layer, as in ``rule_node``.
    """
    pairs: list[tuple[Key, Node]] = [(Key("id", at.place), text_node(name, at))]
    if replaces:
        pairs.append((Key("replaces", at.place), text_node(name, at)))
    pairs.append((Key("when", at.place), condition_of(name, at)))
    return Mapping((*pairs, *said), at.place)


def condition_of(name: str, at: Node | Key) -> Mapping:
    """Return the condition under which the row of that id speaks; an empty one where it is no row's id."""
    inspection, equals, result = name.partition("=")
    word, colon, key = name.partition(":")
    parts = {"inspection": inspection, "result": result} if equals else {word: key} if colon else {}
    return Mapping(
        tuple((Key(part, at.place), text_node(value, at)) for part, value in parts.items()), at.place
    )


def name_of(when: Node | None) -> str:
    """Return the id of the row that a condition describes, or "" where it is not what a row can observe."""
    if not isinstance(when, Mapping):
        return ""
    parts = {key.name: value.text for key, value in when if isinstance(value, Scalar)}
    if set(parts) == {"inspection", "result"}:
        return f"{parts['inspection']}={parts['result']}"
    if len(parts) == 1 and next(iter(parts)) in OBSERVED.values():
        ((word, key),) = parts.items()
        return f"{word}:{key}"
    return ""
