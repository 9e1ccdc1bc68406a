"""Checks of the figures of weighing rules: that one rule speaks, and that they can be probabilities."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, product
from math import prod

from proveout.book.checks.conditions import contradiction
from proveout.book.checks.page import Page
from proveout.book.checks.weights import by_state
from proveout.book.draft import Draft
from proveout.model.atom import Atom, Observable
from proveout.model.book import Predicate
from proveout.model.problem import Problem
from proveout.model.rule import Rule

#: Most combinations of rules gone through to find the largest sum of frequencies.
MAX_CONTEXTS = 5000
#: Sums closer to 1 than this count as 1.
ROUNDING = 1e-9


def equal_rank(draft: Draft) -> Iterator[Problem]:
    """Refuse two rules of which neither is more specific and that speak of the same cause or background."""
    known = _known(draft)
    told: set[str] = set()
    for rules in by_state(draft).values():
        for one, other in combinations(rules, 2):
            clash = _clash(one, other) if other.id not in told else []
            if not clash or one.context < other.context or other.context < one.context:
                continue
            for what in [] if _exclusive(one, other, known) else clash:
                if not _arbiter(one, other, what, rules):
                    told.add(other.id)
                    rival = f"{one.id} ({one.place})"
                    saw = f"{other.id} is as specific as {rival} and also gives {what or 'otherwise'}"
                    mend = "make one more specific, or join them"
                    yield Problem(other.place, "equal-rank", saw, "one rule to speak", mend)


def frequency_sum(draft: Draft) -> Iterator[Problem]:
    """Refuse figures of one observable's states for one cause, or otherwise, that sum to 1 or more."""
    known = _known(draft)
    states: dict[Observable, list[Rule]] = {}
    for rule in draft.rules.values():
        if rule.observable:
            states.setdefault(rule.observable, []).append(rule)
    for observable, rules in states.items():
        for what, most in sorted(_most(rules).items(), key=lambda item: (not item[0], item[0])):
            if most < 1 - ROUNDING:
                continue  # of no context can the sum be larger
            speaking = [rule for rule in rules if figure(rule, what) is not None]
            worst, at = _worst(speaking, what, most, known)
            if at is not None and worst >= 1 - ROUNDING:
                saw = f"frequencies of {observable} for {what or 'otherwise'} that sum to {worst:.3g}"
                yield Problem(at.place, "frequency-sum", saw, "less than 1 in all", "lower some of them")


def _most(rules: Sequence[Rule]) -> dict[str, float]:
    """Return for each cause, and for "", the sum over states of the largest figure that any rule gives."""
    states: dict[Atom | None, dict[str, float]] = {}
    for rule in rules:
        largest = states.setdefault(rule.observes, {})
        figures = (
            rule.weights.items() if rule.otherwise is None else {**rule.weights, "": rule.otherwise}.items()
        )
        for what, frequency in figures:
            if frequency > largest.get(what, 0.0):
                largest[what] = frequency
    found: dict[str, float] = {}
    for largest in states.values():
        for what, frequency in largest.items():
            found[what] = found.get(what, 0.0) + frequency
    return found


def figure(rule: Rule, what: str) -> float | None:
    """Return what a rule says of a cause, or of ``otherwise`` where ``what`` is ""; None where silent."""
    return rule.weights.get(what) if what else rule.otherwise


def _known(draft: Draft) -> dict[Atom, Predicate]:
    return {predicate.atom: predicate for predicate in draft.predicates}


def _exclusive(one: Rule, other: Rule, known: Mapping[Atom, Predicate]) -> bool:
    """Say whether the contexts of two rules exclude each other."""
    needed = tuple(a for r in (one, other) for a in r.when.all_of if a != r.observes)
    excluded = one.when.none_of + other.when.none_of
    if contradiction(needed, excluded, known):
        return True
    return any(r.when.any_of and set(r.when.any_of) <= set(excluded) for r in (one, other))


def _clash(one: Rule, other: Rule) -> list[str]:
    """Name the causes on which both rules speak, and "" where their backgrounds differ."""
    both = sorted(set(one.weights) & set(other.weights))
    differ = None not in (one.otherwise, other.otherwise) and one.otherwise != other.otherwise
    return both + ([""] if differ else [])


def _arbiter(one: Rule, other: Rule, what: str, rules: Sequence[Rule]) -> bool:
    """Say whether a rule more specific than both speaks wherever both apply."""
    joint = one.context | other.context
    if joint in (one.context, other.context):
        return False
    return any(rule.context == joint and figure(rule, what) is not None for rule in rules)


def _worst(
    rules: Sequence[Rule], what: str, most: float, known: Mapping[Atom, Predicate]
) -> tuple[float, Rule | None]:
    """Return the largest sum over states that any one context brings, and the last rule that adds to it.

    Where there are too many contexts to go through, ``most`` is given instead, the sum of the largest figure
    of each state: it is never less than the true one.
    """
    states: dict[Atom | None, list[Rule | None]] = {}
    for rule in rules:
        states.setdefault(rule.observes, [None]).append(rule)
    if prod(len(group) for group in states.values()) > MAX_CONTEXTS:
        return most, rules[-1]
    worst, at = 0.0, None
    for choice in product(*states.values()):
        chosen = [rule for rule in choice if rule is not None]
        if not chosen or any(_exclusive(a, b, known) for a, b in combinations(chosen, 2)):
            continue
        context = frozenset().union(*(rule.context for rule in chosen))
        total = sum(_spoken(group, what, context) for group in states.values())
        if total > worst:
            worst, at = total, chosen[-1]
    return worst, at


def _spoken(rules: Sequence[Rule | None], what: str, context: frozenset[Atom]) -> float:
    """Return what the most specific rule that applies in a context says."""
    apply = [rule for rule in rules if rule is not None and rule.context <= context]
    return max((len(rule.context), figure(rule, what) or 0.0) for rule in apply)[1] if apply else 0.0


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "equal-rank": Page(
        "Two rules on the same observation, neither more specific than the other, name the same cause "
        "or both state 'otherwise'. Which should speak?",
        "two rules on P0442 that both name cap-loose",
        "one of them with a further condition, or a single rule",
    ),
    "frequency-sum": Page(
        "The results of one inspection exclude each other, so their frequencies for one cause sum to "
        "less than 1: something must be left for the normal result.",
        "leaks: 0.7 and blocked: 0.5 for one cause",
        "leaks: 0.55 and blocked: 0.4",
    ),
}
