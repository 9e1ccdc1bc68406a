"""Checks of weighing rules: what they observe, and whether their figures fit together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, product
from math import prod

from proveout.book.checks.conditions import contradiction
from proveout.book.draft import Draft
from proveout.book.rules import is_observable
from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.book import Predicate
from proveout.model.problem import Problem
from proveout.model.rule import Rule

#: Most combinations of rules gone through to find the largest sum of frequencies.
MAX_CONTEXTS = 5000
#: Sums closer to 1 than this count as 1.
ROUNDING = 1e-9


def observes_one(draft: Draft) -> Iterator[Problem]:
    """Refuse a weighing rule that does not observe exactly one observable, the rest being context."""
    for rule in draft.rules.values():
        if rule.concludes:
            continue
        seen = [atom for atom in rule.when.all_of if is_observable(atom, draft.weighed)]
        aside = [a for a in rule.when.any_of + rule.when.none_of if is_observable(a, draft.weighed)]
        if len(seen) != 1:
            saw = "a weighing rule that observes " + (", ".join(map(str, seen)) if seen else "nothing")
            mend = "conclude a finding from them and weigh that" if seen else "name what is observed in 'all'"
            yield Problem(rule.place, "observes-one", saw, "exactly one observable in 'all'", mend)
        elif aside:
            saw = "in 'any' or 'none' of a weighing rule: " + ", ".join(map(str, aside))
            expected = "context only: statuses, facts, recent work, replaced components, unweighed findings"
            yield Problem(rule.place, "context-only", saw, expected, "conclude a finding and weigh that")


def factor_context(draft: Draft) -> Iterator[Problem]:
    """Refuse a factor on a base rate that rests on something weighed: it would count twice."""
    weighed = {rule.observable for rule in draft.rules.values() if rule.observes}
    for cause in draft.causes.values():
        for factor in cause.factors:
            for atom in sorted(factor.when.atoms):
                if Observable(atom.kind, atom.key) in weighed:
                    saw = f"{atom} in 'more_likely_when', which rules weigh already"
                    yield Problem(cause.place, "counted-twice", saw, "context", "weigh it in a rule only")


def weighs_normal(draft: Draft) -> Iterator[Problem]:
    """Refuse a rule that weighs a normal result: what normal tells follows from the abnormal ones."""
    for rule in draft.rules.values():
        atom = rule.observes
        if atom is None or atom.kind != RESULT or atom.key not in draft.inspections:
            continue
        if any(r.id == atom.value and r.normal for r in draft.inspections[atom.key].results):
            saw = f"a weighing rule on the normal result {atom.key}/{atom.value}"
            mend = "weigh the abnormal results; what the normal one tells follows from them"
            yield Problem(rule.place, "weighs-normal", saw, "an abnormal result", mend)


def missing_otherwise(draft: Draft) -> Iterator[Problem]:
    """Refuse an observed state for which, in some context, no rule says how often it appears otherwise."""
    for rules in _by_state(draft).values():
        for rule in rules:
            if not any(r.otherwise is not None and r.context <= rule.context for r in rules):
                saw = f"no 'otherwise' for {rule.observes}"
                mend = "add how often it is seen where none of the named causes is present"
                yield Problem(
                    rule.place,
                    "missing-otherwise",
                    saw,
                    "'otherwise' in this rule or a less specific one",
                    mend,
                )


def equal_rank(draft: Draft) -> Iterator[Problem]:
    """Refuse two rules of which neither is more specific and that speak of the same cause or background."""
    known = _known(draft)
    for rules in _by_state(draft).values():
        for one, other in combinations(rules, 2):
            if one.context < other.context or other.context < one.context or _exclusive(one, other, known):
                continue
            for what in _clash(one, other):
                if not _arbiter(one, other, what, rules):
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
        causes = sorted({cause for rule in rules for cause in rule.weights})
        for what in [*causes, ""]:
            speaking = [rule for rule in rules if figure(rule, what) is not None]
            worst, at = _worst(speaking, what, known) if speaking else (0.0, None)
            if at is not None and worst >= 1 - ROUNDING:
                saw = f"frequencies of {observable} for {what or 'otherwise'} that sum to {worst:.3g}"
                yield Problem(at.place, "frequency-sum", saw, "less than 1 in all", "lower some of them")


def figure(rule: Rule, what: str) -> float | None:
    """Give what a rule says of a cause, or of ``otherwise`` where ``what`` is ""; None where it is silent."""
    return rule.weights.get(what) if what else rule.otherwise


def _by_state(draft: Draft) -> dict[Atom, list[Rule]]:
    """Group the weighing rules by the state that they observe."""
    found: dict[Atom, list[Rule]] = {}
    for rule in draft.rules.values():
        if rule.observes:
            found.setdefault(rule.observes, []).append(rule)
    return found


def _known(draft: Draft) -> dict[Atom, Predicate]:
    return {predicate.atom: predicate for predicate in draft.predicates}


def _exclusive(one: Rule, other: Rule, known: Mapping[Atom, Predicate]) -> bool:
    """Say whether the contexts of two rules exclude each other."""
    needed = tuple(a for r in (one, other) for a in r.when.all_of if a != r.observes)
    excluded = one.when.none_of + other.when.none_of
    if contradiction(needed, excluded, dict(known)):
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
    return any(
        rule not in (one, other)
        and figure(rule, what) is not None
        and one.context <= rule.context <= joint
        and other.context <= rule.context
        for rule in rules
    )


def _worst(rules: Sequence[Rule], what: str, known: Mapping[Atom, Predicate]) -> tuple[float, Rule | None]:
    """Give the largest sum over states that any one context brings, and the last rule that adds to it.

    Where the largest figure of each state already sums to less than 1, or where there are too many contexts
    to go through, that sum is given instead: it is never less than the true one.
    """
    by_state: dict[Atom | None, list[Rule | None]] = {}
    for rule in rules:
        by_state.setdefault(rule.observes, [None]).append(rule)
    most = sum(max(figure(rule, what) or 0.0 for rule in group if rule) for group in by_state.values())
    if most < 1 - ROUNDING or prod(len(group) for group in by_state.values()) > MAX_CONTEXTS:
        return most, rules[-1]
    worst, at = 0.0, None
    for choice in product(*by_state.values()):
        chosen = [rule for rule in choice if rule is not None]
        if not chosen or any(_exclusive(a, b, known) for a, b in combinations(chosen, 2)):
            continue
        context = frozenset().union(*(rule.context for rule in chosen))
        total = sum(_spoken(group, what, context) for group in by_state.values())
        if total > worst:
            worst, at = total, chosen[-1]
    return worst, at


def _spoken(rules: Sequence[Rule | None], what: str, context: frozenset[Atom]) -> float:
    """Give what the most specific rule that applies in a context says."""
    apply = [rule for rule in rules if rule is not None and rule.context <= context]
    return max((len(rule.context), figure(rule, what) or 0.0) for rule in apply)[1] if apply else 0.0
