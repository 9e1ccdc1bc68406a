"""Which weighing rules apply in a closed set of facts: those that speak if their state is seen.

Weighing rules conclude nothing, so there is nothing to chain: the condition of each, its own observed state
assumed, is looked up in the facts. This is the one place that does so, for what was seen and for what was not
yet: both answer by the same rules.
"""

from __future__ import annotations

from collections.abc import Iterable

from proveout.model.atom import Atom, Observable, observable_of
from proveout.model.book import Book
from proveout.model.rule import Rule


def applying(
    book: Book, facts: frozenset[Atom], observables: Iterable[Observable]
) -> dict[Observable, tuple[str, ...]]:
    """Return, for each observable, the ids of the rules that apply, sorted; none where nothing weighs it.

    An observable need not have been seen: of each rule its own state is assumed, and the other states of the
    same observable are left out.
    """
    return {
        observable: tuple(
            rule_id
            for rule_id in sorted(book.weighing.get(observable, ()))
            if _applies(book.rules[rule_id], facts)
        )
        for observable in observables
    }


def seen_in(book: Book, facts: frozenset[Atom]) -> set[Observable]:
    """Return the weighed observables of which the facts hold a state."""
    return {observable for atom in facts if (observable := observable_of(atom)) in book.weighing}


def _applies(rule: Rule, facts: frozenset[Atom]) -> bool:
    """Say whether the condition of a weighing rule holds once its own state is assumed."""
    when, own = rule.when, rule.observes
    if own is None:
        return False
    if len(when.all_of) == 1 and not when.any_of and not when.none_of:
        return True  # it asks for nothing but what it observes

    def stands(atom: Atom) -> bool:
        return atom == own or (atom in facts and (atom.kind != own.kind or atom.key != own.key))

    return (
        all(map(stands, when.all_of))
        and (not when.any_of or any(map(stands, when.any_of)))
        and not any(map(stands, when.none_of))
    )
