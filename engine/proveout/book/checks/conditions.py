"""Checks of conditions: contradictions, size, and findings that rest on each other or on nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.book.strata import bottom_up, cycles, findings_in
from proveout.model.atom import FACT, RESULT, Atom
from proveout.model.book import Predicate
from proveout.model.problem import Problem
from proveout.model.rule import Rule, When

#: Most conditions in one rule; what needs more is better split by a finding.
MAX_CONDITIONS = 16
#: Most alternatives in ``any``.
MAX_ALTERNATIVES = 30


def contradictory(draft: Draft) -> Iterator[Problem]:
    """Refuse a condition that can never hold."""
    known = {predicate.atom: predicate for predicate in draft.predicates}
    named = [(draft.place("rules", name, "when"), rule.when) for name, rule in draft.rules.items()]
    named += [(cause.place, factor.when) for cause in draft.causes.values() for factor in cause.factors]
    for place, when in named:
        why = contradiction(when.all_of, when.none_of, known)
        if not why and when.any_of and set(when.any_of) <= set(when.none_of):
            why = "every alternative of 'any' also in 'none'"
        if why:
            yield Problem(place, "contradictory", why, "a condition that can hold", "remove one of the two")


def contradiction(needed: Sequence[Atom], excluded: Sequence[Atom], known: Mapping[Atom, Predicate]) -> str:
    """Say why atoms cannot all hold while none of the others does, or "" where they can."""
    for atom in needed:
        if atom in excluded:
            return f"{atom} both required and excluded"
    results: dict[str, Atom] = {}
    for atom in needed:
        if atom.kind == RESULT and results.setdefault(atom.key, atom) != atom:
            return f"two results of {atom.key} at once: {results[atom.key].value} and {atom.value}"
    return _numbers(needed, excluded, known)


def _numbers(needed: Sequence[Atom], excluded: Sequence[Atom], known: Mapping[Atom, Predicate]) -> str:
    """Say which thresholds or words for one fact exclude each other, or ""."""
    lows: dict[str, float] = {}
    highs: dict[str, float] = {}
    words: dict[str, str] = {}
    for atom, wanted in [(a, True) for a in needed] + [(a, False) for a in excluded]:
        predicate = known.get(atom) if atom.kind == FACT else None
        if predicate is None:
            continue
        fact, number = predicate.fact, predicate.number
        if number is None:
            if wanted and words.setdefault(fact, predicate.text) != predicate.text:
                return f"{fact} is '{words[fact]}' and '{predicate.text}' at once"
        elif (predicate.op == "at_least") == wanted:
            lows[fact] = max(number, lows.get(fact, number))
        else:
            highs[fact] = min(number, highs.get(fact, number))
    for fact, low in lows.items():
        if fact in highs and low >= highs[fact]:
            return f"{fact} at least {low:g} and below {highs[fact]:g} at once"
    return ""


def too_large(draft: Draft) -> Iterator[Problem]:
    """Refuse more conditions, or more alternatives, than a rule may have."""
    for rule in draft.rules.values():
        when = rule.when
        fixed = len(when.all_of) + len(when.none_of)
        if fixed + bool(when.any_of) > MAX_CONDITIONS:
            mend = "conclude a finding from some of them"
            expected = f"at most {MAX_CONDITIONS} ('any' counts as one)"
            yield Problem(rule.place, "too-many-conditions", f"{fixed} conditions", expected, mend)
        if len(when.any_of) > MAX_ALTERNATIVES:
            mend = "conclude a finding from some of them"
            saw = f"{len(when.any_of)} alternatives in 'any'"
            yield Problem(rule.place, "too-many-alternatives", saw, f"at most {MAX_ALTERNATIVES}", mend)


def missing_examples(draft: Draft) -> Iterator[Problem]:
    """Refuse a rule on several facts, or with a conclusion, that has no examples: they could fail."""
    for rule in draft.rules.values():
        if not rule.examples and (rule.concludes or len(rule.when.atoms) > 1):
            saw = f"no examples of {rule.id}"
            expected = "examples: {fires: [...], silent: [...]}"
            mend = "add small intakes with which it must fire and stay silent"
            yield Problem(rule.place, "missing-examples", saw, expected, mend)


def finding_cycle(draft: Draft) -> Iterator[Problem]:
    """Refuse findings that rest on each other."""
    for group in cycles(draft.rules.values()):
        first = next(
            r for r in draft.rules.values() if r.concludes in group and findings_in(r.when.atoms) & {*group}
        )
        saw = "findings that rest on each other: " + ", ".join(group)
        mend = "let one of them rest on facts of the case alone"
        yield Problem(
            first.place, "finding-cycle", saw, "findings that rest on others in one direction", mend
        )


def unreachable(draft: Draft) -> Iterator[Problem]:
    """Refuse a rule that needs a finding which nothing can conclude."""
    reached = _reached(draft)
    for rule in draft.rules.values():
        for name in _lacking(rule.when, reached):
            if name in draft.raw.declared["findings"]:
                saw = f"the finding '{name}', which no rule that can fire concludes"
                mend = "add a rule that concludes it, or remove the condition"
                yield Problem(rule.place, "unreachable", saw, "a finding that some rule concludes", mend)


def _reached(draft: Draft) -> set[str]:
    """Return the findings that follow; those on a cycle, refused elsewhere, are taken for granted."""
    reached = {name for group in cycles(draft.rules.values()) for name in group}
    rest = [rule for rule in draft.rules.values() if rule.concludes and rule.concludes not in reached]
    by_finding: dict[str, list[Rule]] = {}
    for rule in rest:
        by_finding.setdefault(str(rule.concludes), []).append(rule)
    for name in bottom_up(rest):
        if any(not _lacking(rule.when, reached) for rule in by_finding.get(name, ())):
            reached.add(name)
    return reached


def _lacking(when: When, reached: set[str]) -> list[str]:
    """Name the findings without which the condition cannot hold."""
    lacking = sorted(findings_in(when.all_of) - reached)
    if when.any_of and all(atom.kind == "finding" and atom.key not in reached for atom in when.any_of):
        lacking += sorted(findings_in(when.any_of))
    return lacking


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "contradictory": Page(
        "The condition can never hold: it asks for and forbids the same, for two results of one "
        "inspection at once, or for a figure above one limit and below a lower one.",
        "all: [{code: P0442}], none: [{code: P0442}]",
        "all: [{code: P0442}], none: [{code: P0455}]",
    ),
    "too-many-conditions": Page(
        "A condition of more than 16 parts is nobody's observation any more, and takes long to try. "
        "Conclude findings from some of them first.",
        "all: [seventeen conditions]",
        "conclude a finding from some, and ask for that",
    ),
    "too-many-alternatives": Page(
        "More than 30 alternatives in one condition are a list, not a rule. Conclude a finding for "
        "what they have in common.",
        "any: [thirty-one codes]",
        "any: [{finding: ...}]",
    ),
    "finding-cycle": Page(
        "Findings that rest on each other in a circle are never settled.",
        "a from b, b from a",
        "a from what was observed",
    ),
    "missing-examples": Page(
        "A conclusion, or a condition of several facts, can be wrong in ways that nobody sees by "
        "reading it. One example of a case in which it holds and one in which it does not are tried "
        "by `rules test`.",
        "when: {all: [...]}, conclude: leak",
        "examples: {fires: [{codes: [P0442]}], silent: [{codes: [P0455]}]}",
    ),
    "unreachable": Page(
        "The rule asks for a finding that no rule concludes: it can never hold.",
        "when: {finding: leak}, and nothing concludes leak",
        "a rule with 'conclude: leak'",
    ),
}
