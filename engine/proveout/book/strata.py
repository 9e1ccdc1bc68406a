"""The order in which concluding rules may fire, and the cycles that forbid any."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from proveout.model.atom import FINDING, Atom
from proveout.model.rule import Rule


def findings_in(atoms: Iterable[Atom]) -> frozenset[str]:
    """Give the ids of the findings among atoms."""
    return frozenset(atom.key for atom in atoms if atom.kind == FINDING)


def depends_on(rules: Iterable[Rule]) -> dict[str, frozenset[str]]:
    """Give for each concluded finding those that any rule concluding it mentions."""
    found: dict[str, frozenset[str]] = {}
    for rule in rules:
        if rule.concludes:
            found[rule.concludes] = found.get(rule.concludes, frozenset()) | findings_in(rule.when.atoms)
    return found


def cycles(rules: Iterable[Rule]) -> tuple[tuple[str, ...], ...]:
    """Give the groups of findings that rest on each other, each sorted."""
    return knots(depends_on(rules))


def knots(needs: Mapping[str, frozenset[str]]) -> tuple[tuple[str, ...], ...]:
    """Give the groups of names that lead back to themselves, each sorted, in order."""
    found = {tuple(sorted(x for x in _reach(name, needs) if name in _reach(x, needs))) for name in needs}
    return tuple(sorted(group for group in found if group))


def _reach(start: str, needs: Mapping[str, frozenset[str]]) -> frozenset[str]:
    """Give everything that ``start`` leads to by one or more steps."""
    seen: set[str] = set()
    todo = list(needs.get(start, ()))
    while todo:
        name = todo.pop()
        if name not in seen:
            seen.add(name)
            todo += needs.get(name, ())
    return frozenset(seen)


def strata_of(rules: Iterable[Rule]) -> dict[str, int]:
    """Give the stratum of each concluding rule, by id.

    A rule stands no lower than the rules concluding what it needs, and higher than those concluding what it
    excludes. The findings must be free of cycles.
    """
    concluding = [rule for rule in rules if rule.concludes]
    by_finding: dict[str, list[Rule]] = {}
    for rule in concluding:
        by_finding.setdefault(str(rule.concludes), []).append(rule)
    done: dict[str, int] = {}
    for finding in _bottom_up(depends_on(concluding)):
        for rule in by_finding[finding]:
            done[rule.id] = _level(rule, by_finding, done)
    return dict(sorted(done.items()))


def _level(rule: Rule, by_finding: Mapping[str, list[Rule]], done: Mapping[str, int]) -> int:
    """Give the lowest stratum that the findings of a rule's condition allow."""
    needed = findings_in(rule.when.all_of + rule.when.any_of)
    excluded = findings_in(rule.when.none_of)
    levels = [done[r.id] for name in needed for r in by_finding.get(name, ())]
    levels += [done[r.id] + 1 for name in excluded for r in by_finding.get(name, ())]
    return max(levels, default=0)


def _bottom_up(needs: Mapping[str, frozenset[str]]) -> list[str]:
    """Order findings so that each comes after those it depends on; raises ValueError on a cycle."""
    order: list[str] = []
    left = dict(needs)
    while left:
        ready = sorted(name for name, others in left.items() if not any(other in left for other in others))
        if not ready:
            raise ValueError("findings rest on each other: " + ", ".join(sorted(left)))
        for name in ready:
            del left[name]
        order += ready
    return order
