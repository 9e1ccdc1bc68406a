"""The shipped book: clean, every example as it says, and large enough."""

from __future__ import annotations

from helpers_shipped import shipped_book
from proveout.book import check
from proveout.trial import PASSED, try_examples


def test_the_check_finds_nothing() -> None:
    assert [str(problem) for problem in check()] == []


def test_every_example_passes_and_is_there_in_both_kinds_where_it_could_fail() -> None:
    outcomes = list(try_examples(shipped_book()))
    assert [str(outcome) for outcome in outcomes if outcome.status != PASSED] == []
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
