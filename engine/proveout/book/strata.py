"""The order in which concluding rules may fire, and the cycles that forbid any."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import TopologicalSorter

from proveout.model.atom import FINDING, Atom
from proveout.model.rule import Rule


def findings_in(atoms: Iterable[Atom]) -> frozenset[str]:
    """Return the ids of the findings among atoms."""
    return frozenset(atom.key for atom in atoms if atom.kind == FINDING)


def depends_on(rules: Iterable[Rule]) -> dict[str, frozenset[str]]:
    """Return for each concluded finding those that any rule concluding it mentions."""
    found: dict[str, frozenset[str]] = {}
    for rule in rules:
        if rule.concludes:
            found[rule.concludes] = found.get(rule.concludes, frozenset()) | findings_in(rule.when.atoms)
    return found


def cycles(rules: Iterable[Rule]) -> tuple[tuple[str, ...], ...]:
    """Return the groups of findings that rest on each other, each sorted."""
    return knots(depends_on(rules))


def knots(needs: Mapping[str, frozenset[str]]) -> tuple[tuple[str, ...], ...]:
    """Return the groups of names that lead back to themselves, each sorted, in order.

    Kosaraju's algorithm: names in the order in which a walk along ``needs`` leaves them, then gathered along
    the reversed edges from the last left; each harvest is one group. Linear, and without recursion.
    """
    users: dict[str, list[str]] = {}
    for name, others in needs.items():
        for other in others:
            users.setdefault(other, []).append(name)
    seen: set[str] = set()
    left = [name for start in sorted(needs) for name in _walk(start, needs, seen)]
    taken: set[str] = set()
    groups = [_walk(start, users, taken) for start in reversed(left)]
    return tuple(
        sorted(tuple(sorted(g)) for g in groups if len(g) > 1 or (g and g[0] in needs.get(g[0], ())))
    )


def _walk(start: str, edges: Mapping[str, Iterable[str]], seen: set[str]) -> list[str]:
    """Walk along edges to everything not yet seen, and list it in the order in which the walk leaves it."""
    if start in seen:
        return []
    seen.add(start)
    left: list[str] = []
    trail = [(start, iter(sorted(edges.get(start, ()))))]
    while trail:
        name, ahead = trail[-1]
        following = next((other for other in ahead if other not in seen), None)
        if following is None:
            left.append(name)
            trail.pop()
        else:
            seen.add(following)
            trail.append((following, iter(sorted(edges.get(following, ())))))
    return left


def bottom_up(rules: Iterable[Rule]) -> tuple[str, ...]:
    """Order the findings that rules conclude or need so that each comes after those it rests on.

    Raises:
        graphlib.CycleError: findings rest on each other.
    """
    return tuple(TopologicalSorter(depends_on(rules)).static_order())


def strata_of(rules: Iterable[Rule]) -> dict[str, int]:
    """Return the stratum of each concluding rule, by id.

    A rule stands no lower than the rules concluding what it needs, and higher than those concluding what it
    excludes. The findings must be free of cycles.
    """
    concluding = [rule for rule in rules if rule.concludes]
    by_finding: dict[str, list[Rule]] = {}
    for rule in concluding:
        by_finding.setdefault(str(rule.concludes), []).append(rule)
    done: dict[str, int] = {}
    for finding in bottom_up(concluding):
        for rule in by_finding.get(finding, ()):
            done[rule.id] = _level(rule, by_finding, done)
    return dict(sorted(done.items()))


def _level(rule: Rule, by_finding: Mapping[str, list[Rule]], done: Mapping[str, int]) -> int:
    """Return the lowest stratum that the findings of a rule's condition allow."""
    needed = findings_in(rule.when.all_of + rule.when.any_of)
    excluded = findings_in(rule.when.none_of)
    levels = [done[r.id] for name in needed for r in by_finding.get(name, ())]
    levels += [done[r.id] + 1 for name in excluded for r in by_finding.get(name, ())]
    return max(levels, default=0)
