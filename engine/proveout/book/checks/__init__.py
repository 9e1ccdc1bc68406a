"""The checks that a book must pass, one function a check."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from proveout.book.checks import (
    conditions,
    coverage,
    driving,
    existence,
    figures,
    own,
    readings,
    state,
    terms,
    weights,
)
from proveout.book.draft import Draft
from proveout.model.problem import Problem

Check = Callable[[Draft], Iterator[Problem]]

#: Checks that hold for each entry by itself and for what it refers to.
CHECKS: tuple[Check, ...] = (
    existence.unknown_id,
    existence.unknown_result,
    existence.reserved_result,
    conditions.contradictory,
    conditions.too_large,
    conditions.missing_examples,
    conditions.finding_cycle,
    readings.limits,
    readings.relative_to,
    readings.series_ends,
    readings.unit,
    readings.derived,
    coverage.after_cycle,
    coverage.before_buying,
    coverage.proves_normal,
    weights.weighs_normal,
    terms.built_in,
    terms.first_year,
    state.running_on_stands,
    state.nobody_at_the_key,
    state.engine_without_key,
    state.left_off,
    state.fed_too_high,
    state.pushed_into_terminal,
    state.state_for_nothing,
    own.own_limits,
    own.vehicle_facts,
    own.same_vehicles,
    driving.unknown_family,
)

#: Checks that only make sense once every entry could be read.
WHOLE_BOOK_CHECKS: tuple[Check, ...] = (
    conditions.unreachable,
    weights.observes_one,
    weights.factor_context,
    weights.missing_otherwise,
    figures.equal_rank,
    figures.frequency_sum,
    coverage.unused_entry,
    coverage.unused_result,
    coverage.unproved_cause,
    coverage.unweighed_cause,
)


def run_checks(draft: Draft) -> Iterator[Problem]:
    """Run all checks that apply; those on the whole book only where all of it could be read."""
    for check in CHECKS + (WHOLE_BOOK_CHECKS if draft.raw.whole else ()):
        yield from check(draft)
