"""The shipped book: clean, every example as it says, and large enough."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from helpers_cli import proveout
from helpers_shipped import shipped_book, shipped_cases
from proveout.text.compose import compose
from proveout.text.schema import validate
from proveout.trial.outcome import PASSED

#: Seconds each, so `.ci/run` has them done by the commands themselves.
once = pytest.mark.skipif("PROVEOUT_CHECKED_APART" in os.environ, reason="done by the commands themselves")


@once
def test_the_check_finds_nothing(tmp_path: Path) -> None:
    """The one full check of the shipped book among the tests; it takes seconds."""
    answer = proveout("rules", "check", "--json", home=tmp_path)
    assert not validate(compose(answer.out, "problems"), "problems")
    assert json.loads(answer.out)["problems"] == []
    assert answer.code == 0


@once
def test_every_example_and_every_expected_case_comes_out_as_it_says(tmp_path: Path) -> None:
    """All of them, by the command that its users run, on all cores."""
    answer = proveout("rules", "test", "--json", home=tmp_path)
    trials = json.loads(answer.out)["trials"]
    assert [trial for trial in trials if trial["status"] != PASSED] == []
    assert answer.code == 0
    examples = sum(len(rule.examples) for rule in shipped_book().rules.values())
    assert len(trials) == examples + len(shipped_cases())


def test_every_rule_that_could_fail_has_both_kinds_of_example() -> None:
    rules = shipped_book().rules.values()
    could_fail = [rule for rule in rules if rule.concludes or len(rule.when.atoms) > 1]
    assert len(could_fail) >= 500
    for rule in could_fail:
        assert {example.fires for example in rule.examples} == {True, False}, rule.id


def test_the_evaporative_family_is_there_in_depth() -> None:
    book = shipped_book()
    here = [entry for entry in book.rules.values() if "/evap/" in entry.place.file]
    causes = [entry for entry in book.causes.values() if "/evap/" in entry.place.file]
    inspections = [entry for entry in book.inspections.values() if "/evap/" in entry.place.file]
    assert len(causes) >= 30 and len(inspections) >= 35 and len(here) >= 90
    for entry in inspections:
        assert entry.steps and entry.source and all(result.means for result in entry.results), entry.id
        assert entry.reading is None or entry.reading.limits_source, entry.id
