"""The plain chainer: counts down the conditions of each rule as facts arrive.

It serves where durable_rules cannot be had, and it is what durable_rules is compared with. Every fact is
taken up once and touches only the rules that mention it (the counting method of Dowling and Gallier 1984,
"Linear-time algorithms for testing the satisfiability of propositional Horn formulae").
"""

from __future__ import annotations

from proveout.chain.stages import Stage, finding
from proveout.model.atom import Atom
from proveout.model.rule import Rule


def run(stage: Stage, facts: frozenset[Atom]) -> tuple[frozenset[str], frozenset[Atom]]:
    """Close facts under the rules of a stage.

    Returns:
        The ids of the rules that fired, and the facts with the findings concluded.
    """
    known = set(facts)
    fired: set[str] = set()
    left: dict[str, int] = {}
    chosen: set[str] = set()
    agenda = list(facts)

    def fire(rule: Rule) -> None:
        if any(atom in facts for atom in rule.when.none_of):
            return
        fired.add(rule.id)
        if rule.concludes and (atom := finding(rule.concludes)) not in known:
            known.add(atom)
            agenda.append(atom)

    for rule in stage.free:
        fire(rule)
    while agenda:
        atom = agenda.pop()
        for rule in stage.mentions.get(atom, ()):
            count = left.get(rule.id)
            if count is None:
                count = len(set(rule.when.all_of)) + bool(rule.when.any_of)
            count -= atom in rule.when.all_of
            if atom in rule.when.any_of and rule.id not in chosen:
                chosen.add(rule.id)
                count -= 1
            left[rule.id] = count
            if not count and rule.id not in fired:
                fire(rule)
    return frozenset(fired), frozenset(known)
