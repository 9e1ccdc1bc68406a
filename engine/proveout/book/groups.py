"""Groups of causes: what is shared is named through what it is shared by.

``five-volt-reference.dead`` stands for every cause that kills that supply, so that the same measurement at
any plug says the same of them. A frequency given for a group is that of each of its causes; a cause that is
named beside its group keeps its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingOf

from proveout.model.problem import Problem
from proveout.text.near import did_you_mean, one_of
from proveout.text.node import Key, Listing, Mapping, Node, Scalar


def groups_named(rule: Mapping) -> tuple[Key, ...]:
    """Return the groups for which a rule gives a frequency."""
    weights = rule.get("weigh")
    return tuple(key for key, _ in weights if "." in key.name) if isinstance(weights, Mapping) else ()


def unknown_group(key: Key, groups: Iterable[str]) -> Problem:
    """Return the complaint about a group that nobody declared."""
    known = sorted(groups)
    mend = did_you_mean(key.name, known) or "declare it in a section 'groups:'"
    saw = f"the group '{key.name}', which no layer has"
    return Problem(key.place, "unknown-id", saw, one_of(known, 12), mend)


def with_members(rule: Mapping, groups: MappingOf[str, Mapping]) -> Mapping:
    """Return a rule that names causes only: those of each of ``groups`` in its place, of others none."""
    weights = rule.get("weigh")
    if not isinstance(weights, Mapping) or not groups_named(rule):
        return rule
    named = {key.name: (key, frequency) for key, frequency in weights if "." not in key.name}
    meant: dict[str, tuple[Key, Node]] = {}
    for key, frequency in weights:
        if key.name in named:
            meant[key.name] = (key, frequency)
        elif key.name in groups:
            for name in _members(groups[key.name]):
                meant.setdefault(name, named.get(name, (Key(name, key.place), frequency)))
    full = Mapping(tuple(meant.values()), weights.place)
    return Mapping(tuple((k, full if k.name == "weigh" else v) for k, v in rule), rule.place)


def _members(group: Mapping) -> list[str]:
    causes = group.get("causes")
    items = causes.items if isinstance(causes, Listing) else ()
    return [item.text for item in items if isinstance(item, Scalar)]
