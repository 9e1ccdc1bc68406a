"""What was seen to go wrong in whole jobs, each kept from coming back; others have files of their own.

A visible defect: ``test_plan_mending``. Faults of one part: ``test_plan_parts``. Further codes of a family:
``test_weigh_siblings``. Danger first: ``test_driving_on``. Proof of the repair: ``test_readiness_held``.
A closed case: ``test_cli_deeds``. What comes and goes: ``test_weigh_presence``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from helpers_shipped import shipped_book
from proveout.app.source import aged
from proveout.intake.document import case_of
from proveout.model.advice import Triage
from proveout.plan.advice import advise


def answer(**document: Any) -> Triage:
    return advise(case_of(document, shipped_book()), shipped_book())


def sure(**document: Any) -> Mapping[str, float]:
    return {standing.cause: standing.confidence for standing in answer(**document).hypotheses}


def test_a_monitor_that_ran_and_set_its_code_says_nothing_of_sister_codes() -> None:
    """It lowered the catalyst from 45 to 30 %."""
    ran = sure(codes=["P0420"], monitors_run=["catalyst"])
    assert ran["catalyst-worn"] == pytest.approx(sure(codes=["P0420"])["catalyst-worn"], abs=0.01)


def test_further_codes_of_a_family_do_not_make_nothing_wrong_now_lead() -> None:
    """They took it from 6 to 42 %."""
    further = sure(codes=["P0442", "P0456", "P0455"])
    assert further["evap-nothing-wrong-now"] < sure(codes=["P0442"])["evap-nothing-wrong-now"] + 0.1
    assert further["filler-cap-seal-leaking"] > further["evap-nothing-wrong-now"]


def test_a_load_stored_with_a_lean_code_moves_its_causes() -> None:
    """Lean under load is fuel that is short; at idle it is air that is let in (common practice)."""
    trim = {"long_trim_pct": 30}
    loaded = sure(codes=["P0171"], freeze_frame={**trim, "load_pct": 80})
    idling = sure(codes=["P0171"], freeze_frame={**trim, "load_pct": 20, "rpm": 750})
    assert loaded["fuel-pump-weak"] > 2 * idling["fuel-pump-weak"]
    assert idling["vacuum-hose-split"] > 2 * loaded["vacuum-hose-split"]


def test_a_frame_stored_at_idle_speaks_without_its_load() -> None:
    """It spoke only where the load was stored too; at idle the speed alone says where it was."""
    frame = {"long_trim_pct": 30, "rpm": 750}
    assert sure(codes=["P0171"], freeze_frame=frame) == pytest.approx(
        sure(codes=["P0171"], freeze_frame={**frame, "load_pct": 20}), abs=0.01
    )


def test_banks_are_not_compared_on_an_engine_in_line() -> None:
    found = answer(codes=["P0171"], vehicle={"engine": "2.0 in-line four"})
    steps = [step.inspection for step in (found.next, *found.others) if step]
    assert "both-banks-compared" not in steps


def test_a_year_of_first_registration_counts_as_the_age() -> None:
    """It was accepted and ignored."""
    told = {"codes": ["P0442"], "vehicle": {"first_year": 2006}}
    assert aged(told, 2026)["vehicle"]["age_years"] == 20.0
    assert sure(**aged(told, 2026)) == sure(codes=["P0442"], vehicle={"age_years": 20.0})
    assert sure(**told) != sure(**aged(told, 2026))


@pytest.mark.parametrize("vehicle", [{"first_year": 2030}, {"first_year": 2006, "age_years": 3.0}, {}])
def test_an_age_that_is_given_stays_and_none_is_made_up(vehicle: Mapping[str, float]) -> None:
    assert aged({"codes": ["P0442"], "vehicle": vehicle}, 2026)["vehicle"] == vehicle


def test_a_code_without_rules_is_said_with_the_nearest_that_have_some() -> None:
    book = shipped_book()
    weighed = {seen.key for seen in book.weighing if seen.kind == "code"}
    code = next(name for name, entry in book.words.codes.items() if name not in weighed and entry.family)
    found = answer(codes=["P0442", code])
    assert [one.code for one in found.without_rules] == [code]
    assert set(found.without_rules[0].nearest) <= weighed and found.without_rules[0].nearest


def test_a_signal_seen_good_does_not_leave_a_loose_sensor_on_top() -> None:
    good = answer(codes=["P0335"], results={"crank-signal-toggles": "toggles"})
    assert good.hypotheses[0].cause not in (
        "crank-sensor-gap-wrong",
        "crank-sensor-failed",
        "crank-sensor-wire-open",
    )


def test_a_signal_right_at_the_pin_and_in_the_live_data_clears_its_wire_and_its_supply() -> None:
    """2.5 V at the pin and 0 kPa in the live data say the same, and raised "signal wire open"."""
    pin, shown = {"tank-sensor-signal-cap-off": "middle"}, {"tank-pressure-on-reader": "zero"}
    for code in ("P0452", "P0453", "P0450"):
        before, after = sure(codes=[code]), sure(codes=[code], results={**pin, **shown})
        assert after["tank-sensor-signal-open"] < before["tank-sensor-signal-open"], code
    dead = ("five-volt-wire-shorted", "five-volt-trunk-open", "module-five-volt-supply-failed")
    before, after = sure(codes=["P0452"]), sure(codes=["P0452"], results={**pin, **shown})
    assert all(after.get(cause, 0.0) < before[cause] for cause in dead)


#: Results that only one thing gives: a poor contact answers to a tap, a wide figure lies between two ends.
ONE_ALONE = {
    "front-sensor-signal-meter=above-one-volt",
    "fuel-rail-plugs-wiggle=jumps-when-tapped",
    "pedal-plug-moved=jumps-when-tapped",
}


def test_no_result_names_a_sensor_alone_where_its_signal_can_be_lost_otherwise() -> None:
    """A signal that was missing at an actuator convicted one sensor, and named no other way to lose it."""
    book = shipped_book()
    alone = []
    for observable, rules in book.weighing.items():
        entry = book.inspections.get(observable.key) if observable.kind == "result" else None
        if entry is None:
            continue
        for name in rules:
            weights = book.rules[name].weights
            named = {c: f for c, f in weights.items() if book.causes[c].component.endswith("-sensor")}
            for cause, frequency in named.items():
                others = [f for other, f in weights.items() if other != cause and f >= frequency / 5]
                if frequency >= 0.5 and not others and cause not in entry.proves:
                    alone.append(name)
    assert set(alone) <= ONE_ALONE
