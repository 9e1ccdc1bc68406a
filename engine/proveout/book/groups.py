"""Groups of causes: what is shared is named through what it is shared by.

``five-volt-reference.dead`` stands for every cause that kills that supply, so that the same measurement at
any plug says the same of them. A frequency given for a group is that of each of its causes; a cause that is
named beside its group keeps its own.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingOf

from proveout.model.problem import Problem
from proveout.text.near import did_you_mean, one_of
from proveout.text.node import Key, Listing, Mapping, Node, Scalar


def with_members(rule: Mapping, groups: MappingOf[str, Mapping], problems: list[Problem]) -> Mapping:
    """Return a rule that names causes only; groups that nobody declared are complained of."""
    weights = rule.get("weigh")
    if not isinstance(weights, Mapping) or not any("." in key.name for key, _ in weights):
        return rule
    named = {key.name: (key, frequency) for key, frequency in weights if "." not in key.name}
    meant: dict[str, tuple[Key, Node]] = {}
    for key, frequency in weights:
        if key.name in named:
            meant[key.name] = (key, frequency)
        elif key.name in groups:
            for name in _members(groups[key.name]):
                meant.setdefault(name, named.get(name, (Key(name, key.place), frequency)))
        else:
            mend = did_you_mean(key.name, groups) or "declare it in a section 'groups:'"
            saw = f"the group '{key.name}', which no layer has"
            problems.append(Problem(key.place, "unknown-id", saw, one_of(sorted(groups), 12), mend))
    full = Mapping(tuple(meant.values()), weights.place)
    return Mapping(tuple((k, full if k.name == "weigh" else v) for k, v in rule), rule.place)


def _members(group: Mapping) -> list[str]:
    causes = group.get("causes")
    items = causes.items if isinstance(causes, Listing) else ()
    return [item.text for item in items if isinstance(item, Scalar)]
