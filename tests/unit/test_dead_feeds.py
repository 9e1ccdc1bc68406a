"""A feed that is not there weighs all that stands before it, not some of it.

Relay, fuse, control wire and socket of the main relay leave the same terminals dark. A result that weighs one
of them and leaves out another acquits the other by its background, some hundred to one, and convicts the
circuit's own fuse or wire in its place.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from msgspec.structs import replace

from helpers_shipped import shipped_book
from proveout.model.atom import RESULT
from proveout.model.rule import Rule

#: What stands before every feed that the main relay gives.
BEFORE = ("main-relay-failed", "main-relay-fuse-blown", "main-relay-control-wire-open")
#: From which weight the main relay is meant as one of the chief reasons of a dark terminal.
CHIEF = 0.2
#: States of a feed that is gone.
GONE = frozenset({"missing", "none", "no-feed", "dark", "both-dark", "dark-on-both", "does-not-arrive"})


def left_out(rules: Mapping[str, Rule]) -> dict[str, set[str]]:
    """Return by rule what stands before a feed that is gone and is not weighed, where some of it is."""
    found = {}
    for rule in rules.values():
        seen = rule.observes
        if seen is None or seen.kind != RESULT or seen.value not in GONE:
            continue
        if max((rule.weights.get(cause, 0.0) for cause in BEFORE), default=0.0) < CHIEF:
            continue
        if missing := {cause for cause in BEFORE if not rule.weights.get(cause)}:
            found[rule.id] = missing
    return found


def test_a_feed_that_is_gone_weighs_all_of_the_main_relay() -> None:
    gone = left_out(shipped_book().rules)
    # At the coil of the relay itself neither a burnt contact nor an open coil takes the feed away.
    assert gone == {"main-relay-coil-feed=missing": {"main-relay-failed"}}


@pytest.mark.parametrize("cause", BEFORE)
def test_one_that_is_taken_out_is_found(cause: str) -> None:
    rules = dict(shipped_book().rules)
    rule = rules["purge-valve-plug-power=missing"]
    without = {name: weight for name, weight in rule.weights.items() if name != cause}
    rules[rule.id] = replace(rule, weights=without)
    assert left_out(rules)[rule.id] == {cause}
