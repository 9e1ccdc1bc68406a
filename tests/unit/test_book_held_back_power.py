"""Power held back beside a code that names a circuit or part weighs nothing, for any cause of that code.

A cause that such a code weighs and that the rule of the held-back power leaves out would be acquitted by the
rule's background, some thousand to one, by a code that is the consequence of either.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from msgspec.structs import replace

from helpers_shipped import shipped_book
from proveout.model.atom import CODE
from proveout.model.rule import Rule

HELD_BACK = ("P2104", "P2105", "P2106", "P2110")
#: What a throttle on a cable alone can have; it sets no such code.
ON_A_CABLE = {"idle-stop-screw-turned", "throttle-cable-sticking", "tps-misadjusted", "tps-track-worn"}
#: From which weight a cause counts as one of a code's reasons.
COUNTS = 0.03


def roots() -> set[str]:
    """Return the codes that name a circuit or part of throttle or pedal."""
    names = {
        "conclude-throttle-track-a-code",
        "conclude-throttle-track-b-code",
        "conclude-pedal-track-d-code",
        "conclude-pedal-track-e-code",
        "conclude-throttle-or-pedal-root-code",
    }
    rules = shipped_book().rules
    return {atom.key for name in names for atom in rules[name].when.atoms if atom.kind == CODE}


def left_out(rules: Mapping[str, Rule]) -> dict[str, set[str]]:
    """Return by rule what a root code weighs and the held-back power leaves out."""
    seen = {
        cause
        for code in roots()
        for cause, weight in rules[f"code:{code}"].weights.items()
        if weight >= COUNTS and cause not in ON_A_CABLE
    }
    found = {}
    for code in HELD_BACK:
        rule = rules[f"code-{code.lower()}-beside-its-root"]
        if missing := {cause for cause in seen if not rule.weights.get(cause)}:
            found[rule.id] = missing
    return found


def test_held_back_power_weighs_all_that_its_root_weighs() -> None:
    assert left_out(shipped_book().rules) == {}


@pytest.mark.parametrize("cause", ["five-volt-wire-shorted", "throttle-gear-worn"])
def test_one_that_is_taken_out_is_found(cause: str) -> None:
    rules = dict(shipped_book().rules)
    rule = rules["code-p2106-beside-its-root"]
    without = {name: weight for name, weight in rule.weights.items() if name != cause}
    rules[rule.id] = replace(rule, weights=without)
    assert left_out(rules) == {rule.id: {cause}}
