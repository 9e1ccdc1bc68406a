"""The checks of a book, one function a check.

What ``CHECKS`` and ``WHOLE_BOOK_CHECKS`` refuse cannot be used. What ``SLIPS`` complain of can be, so that
layers and snapshots written before a slip was known stay usable: only ``rules check`` asks for them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from msgspec.structs import replace

from proveout.book.checks import (
    acts,
    agreement,
    before,
    conditions,
    coverage,
    driving,
    existence,
    figures,
    finds,
    hands,
    meter,
    mistaken,
    own,
    proof,
    readings,
    slips,
    state,
    steps,
    terms,
    told,
    warned,
    weights,
)
from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.problem import WARNING, Problem

Check = Callable[[Draft], Iterator[Problem]]

#: The page of every check, and of what is complained of before.
PAGES: Mapping[str, Page] = {
    **acts.PAGES,
    **before.PAGES,
    **agreement.PAGES,
    **conditions.PAGES,
    **coverage.PAGES,
    **driving.PAGES,
    **existence.PAGES,
    **figures.PAGES,
    **finds.PAGES,
    **hands.PAGES,
    **meter.PAGES,
    **mistaken.PAGES,
    **own.PAGES,
    **proof.PAGES,
    **readings.PAGES,
    **slips.PAGES,
    **state.PAGES,
    **steps.PAGES,
    **terms.PAGES,
    **told.PAGES,
    **warned.PAGES,
    **weights.PAGES,
}

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
    state.state_for_nothing,
    told.pushed_into_terminal,
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

#: Checks of what is most probably not meant, or what a good book does not leave out.
SLIPS: tuple[Check, ...] = (
    own.without_unit,
    own.overlapping,
    readings.overlapping,
    slips.out_of_proportion,
    slips.thousands,
    slips.unlikely_text,
    slips.said_twice,
    slips.nothing_abnormal,
    slips.unnamed_text,
    slips.unknown_companion,
    slips.unraised_cause,
    told.undeclared,
    told.turns_undeclared,
    told.repaired_unread,
    agreement.unsettled_cause,
    agreement.background_above_part,
    agreement.reversed_leads,
    agreement.wrong_bank,
    agreement.unexplained_code,
    agreement.twin_inspections,
    finds.missing_result,
    mistaken.battery_unread,
    mistaken.charging_unread,
    mistaken.pump_untried,
    steps.above_damage_limit,
    steps.in_gear_on_stands,
    steps.unplugs_undeclared,
    acts.battery_undeclared,
    acts.turned_by_hand,
    acts.cleared_unread,
    acts.codes_left,
    acts.plug_forgotten,
    acts.plug_unparted,
    acts.revs_alone,
    acts.fuse_left,
    acts.torque_on_nothing,
    meter.ohms_on_live,
    warned.beneath_unwarned,
    warned.started_raised,
    warned.heat_at_vapour,
    hands.hand_at_running_engine,
    proof.fuel_joint_unwatched,
    proof.leads_at_running_engine,
    proof.cleared_for_good,
)


def run_slips(draft: Draft) -> Iterator[Problem]:
    """Return as warnings what ``SLIPS`` complain of, in a draft that passes the other checks."""
    for check in SLIPS:
        for problem in check(draft):
            yield replace(problem, severity=WARNING)


def run_checks(draft: Draft) -> Iterator[Problem]:
    """Run all checks that apply; those on the whole book only where all of it could be read."""
    for check in CHECKS + (WHOLE_BOOK_CHECKS if draft.raw.whole else ()):
        yield from check(draft)
