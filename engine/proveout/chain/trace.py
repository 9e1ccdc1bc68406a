"""The canonical trace of a run: the same for every engine that fired the same rules."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from proveout.chain.stages import finding
from proveout.model.atom import FINDING, Atom, Observable
from proveout.model.chained import Chained, Fired
from proveout.model.rule import Rule


def trace(
    rules: Mapping[str, Rule],
    fired: Iterable[str],
    facts: frozenset[Atom],
    findings: Iterable[str],
    speaking: Mapping[Observable, tuple[str, ...]],
) -> Chained:
    """Write down a finished run.

    Args:
        rules: the book's rules by id.
        fired: ids of the rules that hold.
        facts: the closed set of facts.
        findings: the book's findings, each after those it rests on.
        speaking: for each weighed observable of which the facts hold a state, the rules that apply to it.
    """
    matched = {name: _matched(rules[name], facts) for name in fired}
    depth = _depths(rules, matched, findings)
    steps = [Fired(depth[name], name, atoms, rules[name].concludes or "") for name, atoms in matched.items()]
    return Chained(facts, tuple(sorted(steps)), speaking)


def _matched(rule: Rule, facts: frozenset[Atom]) -> tuple[Atom, ...]:
    """Return the atoms that satisfied a rule: all that it needs, and of the alternatives those that hold."""
    return tuple(sorted(set(rule.when.all_of) | (set(rule.when.any_of) & facts)))


def _depths(
    rules: Mapping[str, Rule], matched: Mapping[str, tuple[Atom, ...]], findings: Iterable[str]
) -> dict[str, int]:
    """Return for each fired rule the length of the longest chain of findings below it."""
    concluded_by: dict[str, list[str]] = {}
    for name in matched:
        if concluded := rules[name].concludes:
            concluded_by.setdefault(concluded, []).append(name)
    height: dict[Atom, int] = {}

    def depth(name: str) -> int:
        return max((height.get(atom, 0) for atom in matched[name] if atom.kind == FINDING), default=0)

    for key in findings:
        if key in concluded_by:
            height[finding(key)] = 1 + max(depth(name) for name in concluded_by[key])
    return {name: depth(name) for name in matched}
