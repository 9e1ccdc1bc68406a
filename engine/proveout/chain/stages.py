"""A book's rules laid out for chaining: stages in the order they run, and the order of findings.

A stage holds rules whose negated atoms are all settled before it runs: first the concluding rules, one stage
a stratum, then all the weighing rules, which conclude nothing. What this module refuses, no engine could
close without guessing; the check of the book refuses it earlier and says where it stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from proveout.model.atom import FINDING, Atom
from proveout.model.book import Book
from proveout.model.problem import EngineError
from proveout.model.rule import Rule

#: Most conditions of one rule that must hold together: what durable_rules can match. It holds for both
#: engines, so that a book means the same wherever it is used.
MOST_CONDITIONS = 16


@dataclass(frozen=True, slots=True)
class Stage:
    """Rules that run together.

    Attributes:
        rules: in order of id.
        mentions: for each atom that a rule needs (in ``all`` or ``any``), those rules.
        free: the rules that need no atom at all.
        concluding: whether any of them concludes a finding.
    """

    rules: tuple[Rule, ...]
    mentions: Mapping[Atom, tuple[Rule, ...]]
    free: tuple[Rule, ...]
    concluding: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """The stages of a book in the order they run, and its findings, each after those it rests on."""

    stages: tuple[Stage, ...]
    findings: tuple[str, ...]


def finding(name: str) -> Atom:
    """Give the atom that says a finding holds."""
    return Atom(FINDING, name, "true")


#: The layouts of the last few books closed. Closing one book many times is the rule, and a book never
#: changes; it is known again by identity since hashing all its rules would cost more than the layout.
_RECENT: list[tuple[Book, Layout]] = []
_KEPT = 4


def layout_of(book: Book) -> Layout:
    """Lay out the rules of a book.

    Raises:
        EngineError: strata in which a negation is not settled, findings resting on each other in a circle, or
            a rule with more than ``MOST_CONDITIONS`` conditions.
    """
    for known, layout in _RECENT:
        if known is book:
            return layout
    layout = _lay_out(book)
    _RECENT[:] = [(book, layout), *_RECENT[: _KEPT - 1]]
    return layout


def _lay_out(book: Book) -> Layout:
    """Lay out the rules of a book that was not seen lately."""
    rules = [book.rules[name] for name in sorted(book.rules)]
    for rule in rules:
        _check_size(rule)
    concluding = [rule for rule in rules if rule.concludes]
    level = {rule.id: book.stratum.get(rule.id, 0) for rule in concluding}
    _check_strata(concluding, level)
    stages = [_stage(r for r in concluding if level[r.id] == n) for n in sorted(set(level.values()))]
    stages.append(_stage(rule for rule in rules if not rule.concludes))
    return Layout(tuple(stages), _order(concluding))


def _stage(chosen: Iterable[Rule]) -> Stage:
    """Index rules that run together."""
    rules = tuple(chosen)
    mentions: dict[Atom, list[Rule]] = {}
    for rule in rules:
        for atom in dict.fromkeys(rule.when.all_of + rule.when.any_of):
            mentions.setdefault(atom, []).append(rule)
    return Stage(
        rules=rules,
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
        rests_on.add(str(rule.concludes), *needed)
    try:
        return tuple(rests_on.static_order())
    except CycleError as error:
        circle = " -> ".join(error.args[1])
        raise EngineError(f"findings rest on each other in a circle: {circle}") from error
