"""Checks of weighing rules: what they observe, and that nothing counts twice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.book.rules import is_observable
from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.problem import Problem
from proveout.model.rule import Rule


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
    """Refuse a rule that weighs a normal result beside abnormal ones: one side tells the other.

    Normal alone is weighed where it is what needs explaining: that a code stays away once it is cleared.
    """
    weighed = {rule.observes for rule in draft.rules.values() if rule.observes}
    for rule in draft.rules.values():
        atom = rule.observes
        if atom is None or atom.kind != RESULT or atom.key not in draft.inspections:
            continue
        results = draft.inspections[atom.key].results
        abnormal = any(not r.normal and Atom(RESULT, atom.key, r.id) in weighed for r in results)
        if abnormal and any(r.id == atom.value and r.normal for r in results):
            saw = f"a weighing rule on the normal result {atom.key}/{atom.value} beside an abnormal one"
            mend = "weigh the abnormal results alone; what the normal one tells follows from them"
            yield Problem(rule.place, "weighs-normal", saw, "an abnormal result", mend)


def missing_otherwise(draft: Draft) -> Iterator[Problem]:
    """Refuse an observed state for which, in some context, no rule says how often it appears otherwise."""
    for rules in by_state(draft).values():
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


def by_state(draft: Draft) -> dict[Atom, list[Rule]]:
    """Group the weighing rules by the state that they observe."""
    found: dict[Atom, list[Rule]] = {}
    for rule in draft.rules.values():
        if rule.observes:
            found.setdefault(rule.observes, []).append(rule)
    return found


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "observes-one": Page(
        "A weighing rule says how often one thing is seen. Several things seen together are a finding "
        "of their own, else each would count twice.",
        "when: {all: [{code: P0442}, {symptom: smell}]}, seen_with: ...",
        "conclude a finding from both, and weigh that",
    ),
    "context-only": Page(
        "In 'any' and 'none' of a weighing rule may stand only what is no observation itself.",
        "none: [{symptom: smell}]",
        "none: [{recent_work: tank-out}]",
    ),
    "counted-twice": Page(
        "What rules weigh already would count a second time as a factor on the base rate.",
        "more_likely_when: [{happens: in-rain, times: 3}] beside a row on in-rain",
        "weigh it in the row only",
    ),
    "weighs-normal": Page(
        "What a normal result tells follows from the abnormal ones; weighing both counts it twice.",
        "seen_with at 'good' beside seen_with at 'poor'",
        "seen_with at 'poor' only",
    ),
    "missing-otherwise": Page(
        "Without knowing how often something is seen where none of the named causes is present, no "
        "observation says anything.",
        "seen_with: {hose-off: 0.6}",
        "seen_with: {hose-off: 0.6}, otherwise: 0.01",
    ),
}
