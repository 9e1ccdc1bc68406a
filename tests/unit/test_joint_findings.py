"""A finding of two parts names what both parts speak for.

A cause that a joint finding leaves out keeps the product of what the parts give it. That is right of few:
what fails one thing for one bank, one wire or one cylinder gives hardly ever both, and what both share gives
both far more often than the product says. So whoever concludes a finding says it for each of these causes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from math import prod

import pytest
from msgspec.structs import replace

from helpers_shipped import shipped_book
from proveout.model.atom import CODE, FINDING, Atom
from proveout.model.rule import Rule

#: From which weight a part counts as speaking for a cause; codes come seldom, whatever is wrong.
SPEAKS = 0.15
CODE_SPEAKS = 0.02
#: By how much a part must be likelier with the cause than without, and the product than the background.
PART_LOUDER = 3.0
JOINT_LOUDER = 10.0
#: What is left to the product, and why.
LEFT = {
    "pressure-sensors-low-together": "a pressure sensor or its plug gives the second code only where that is"
    " the barometer's, which is taken from it; the other second code it does not give, and one weight serves"
    " both",
}

Said = dict[Atom, tuple[dict[str, float], float]]


def _said(rules: Mapping[str, Rule]) -> Said:
    """Return by observed state the causes' weights and the background that are said without conditions."""
    found: Said = {}
    for rule in rules.values():
        if rule.observes is not None and not rule.context:
            weights, without = found.get(rule.observes, ({}, 0.0))
            found[rule.observes] = _most(weights, rule.weights), max(rule.otherwise or 0.0, without)
    return {atom: one for atom, one in found.items() if one[1]}


def _most(one: Mapping[str, float], other: Mapping[str, float]) -> dict[str, float]:
    """Return the larger of two weights for each cause."""
    return {cause: max(one.get(cause, 0.0), other.get(cause, 0.0)) for cause in {*one, *other}}


def _with_classes(rules: Mapping[str, Rule], said: Said) -> Said:
    """Return what is said, with the findings that nothing weighs: of several the loudest for a cause."""
    found = dict(said)
    for rule in rules.values():
        atom = Atom(FINDING, rule.concludes or "", "true")
        if rule.concludes and atom not in said:
            for part in rule.when.all_of if len(rule.when.all_of) == 1 else rule.when.any_of:
                weights, without = said.get(part, ({}, 0.0))
                known, most = found.get(atom, ({}, 0.0))
                found[atom] = _most(known, weights), max(without, most)
    return {atom: one for atom, one in found.items() if one[1]}


def left_out(rules: Mapping[str, Rule]) -> Iterator[tuple[str, str]]:
    """Return each finding of several weighed parts with a cause that they speak for and it leaves out."""
    weighed = _said(rules)
    said = _with_classes(rules, weighed)
    for rule in rules.values():
        joint = weighed.get(Atom(FINDING, rule.concludes or "", "true"))
        alternatives = [rule.when.any_of] if rule.when.any_of else []
        parts = [*((atom,) for atom in rule.when.all_of), *alternatives]
        if joint is None or len(parts) < 2:
            continue
        for chosen in product(*parts):
            spoken = [(atom.kind, *said[atom]) for atom in chosen if atom in said]
            if len(spoken) < 2:
                continue
            for cause in set.intersection(*(set(weights) for _, weights, _ in spoken)) - set(joint[0]):
                if prod(weights[cause] for _, weights, _ in spoken) >= JOINT_LOUDER * joint[1] and all(
                    weights[cause] >= max(PART_LOUDER * without, CODE_SPEAKS if kind == CODE else SPEAKS)
                    for kind, weights, without in spoken
                ):
                    yield rule.concludes or "", cause


def test_what_both_parts_speak_for_is_named() -> None:
    assert {one for one in left_out(shipped_book().rules) if one[0] not in LEFT} == set()


@pytest.mark.parametrize("finding", LEFT)
def test_no_exception_is_kept_that_is_none(finding: str) -> None:
    assert finding in {one for one, _ in left_out(shipped_book().rules)}


def test_one_that_is_taken_out_is_found() -> None:
    rules = dict(shipped_book().rules)
    for rule in shipped_book().rules.values():
        if rule.observes == Atom(FINDING, "misfire-with-lean-codes", "true"):
            without = {c: weight for c, weight in rule.weights.items() if c != "fuel-strainer-clogged"}
            rules[rule.id] = replace(rule, weights=without)
    assert ("misfire-with-lean-codes", "fuel-strainer-clogged") in set(left_out(rules))
