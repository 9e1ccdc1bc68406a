"""The order in which the rules of a book run, by what they need.

A stage holds rules whose negated atoms are all settled before it runs: first the concluding rules, one stage
a stratum, then all the weighing rules, which conclude nothing. What this module refuses, no engine could
close without guessing; the check of the book refuses it earlier and says where it stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from proveout.model.atom import FINDING, Atom
from proveout.model.book import Layout, Stage
from proveout.model.problem import EngineError
from proveout.model.rule import Rule

#: Most conditions of one rule that must hold together: what durable_rules can match. It holds for both
#: engines, so that a book means the same wherever it is used.
MOST_CONDITIONS = 16


def finding(name: str) -> Atom:
    """Return the atom that says a finding holds."""
    return Atom(FINDING, name, "true")


def lay_out(rules: Mapping[str, Rule], stratum: Mapping[str, int]) -> Layout:
    """Return the order in which rules run.

    Args:
        rules: by id.
        stratum: of each concluding rule, by id; 0 where it is not given.

    Raises:
        EngineError: strata in which a negation is not settled, findings resting on each other in a circle, or
            a rule with more than ``MOST_CONDITIONS`` conditions.
    """
    every = [rules[name] for name in sorted(rules)]
    for rule in every:
        _check_size(rule)
    concluding = [rule for rule in every if rule.concludes]
    level = {rule.id: stratum.get(rule.id, 0) for rule in concluding}
    _check_strata(concluding, level)
    stages = [_stage(r for r in concluding if level[r.id] == n) for n in sorted(set(level.values()))]
    stages.append(_stage(rule for rule in every if not rule.concludes))
    return Layout(tuple(stages), _order(concluding))


def _stage(chosen: Iterable[Rule]) -> Stage:
    """Index rules that run together."""
    rules = tuple(chosen)
    mentions: dict[Atom, list[Rule]] = {}
    for rule in rules:
        for atom in dict.fromkeys(rule.when.all_of + rule.when.any_of):
            mentions.setdefault(atom, []).append(rule)
    return Stage(
        mentions={atom: tuple(users) for atom, users in mentions.items()},
        free=tuple(rule for rule in rules if not rule.when.all_of and not rule.when.any_of),
        concluding=any(rule.concludes for rule in rules),
    )


def _check_size(rule: Rule) -> None:
    """Refuse a rule with more conditions than can be matched together."""
    count = len(set(rule.when.all_of)) + bool(rule.when.any_of)
    if count > MOST_CONDITIONS:
        raise EngineError(
            f"rule {rule.id} has {count} conditions that must hold together, of which at most "
            f"{MOST_CONDITIONS} can be matched; conclude a finding from some of them and use that"
        )


def _check_strata(concluding: list[Rule], level: Mapping[str, int]) -> None:
    """Refuse strata in which a rule runs before what it rests on is settled."""
    highest: dict[Atom, int] = {}
    for rule in concluding:
        atom = finding(str(rule.concludes))
        highest[atom] = max(highest.get(atom, 0), level[rule.id])
    for rule in concluding:
        late = [a for a in rule.when.all_of + rule.when.any_of if highest.get(a, 0) > level[rule.id]]
        late += [a for a in rule.when.none_of if highest.get(a, -1) >= level[rule.id]]
        if late:
            raise EngineError(
                f"rule {rule.id} stands in stratum {level[rule.id]}, before {late[0].key} is settled; "
                "the strata of this book are wrong"
            )


def _order(concluding: list[Rule]) -> tuple[str, ...]:
    """Order findings so that each comes after those it rests on."""
    rests_on: TopologicalSorter[str] = TopologicalSorter()
    for rule in concluding:
        needed = {a.key for a in rule.when.all_of + rule.when.any_of if a.kind == FINDING}
        rests_on.add(str(rule.concludes), *sorted(needed))  # in an order of its own, so that books are equal
    try:
        return tuple(rests_on.static_order())
    except CycleError as error:
        circle = " -> ".join(error.args[1])
        raise EngineError(f"findings rest on each other in a circle: {circle}") from error
