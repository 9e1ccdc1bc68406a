"""Readiness bits, two trips, permanent codes and inspection, against what standards and regulations say.

Sources, with how sure: the layout of the status word, SAE J1979 (from memory; the two worked words are
computed from it); 13 CCR 1968.2 for the life of a code (the numbers 3, 40, 600 s, 300 s, 40 km/h and 30 s as
other documents quote it, the rest from memory); 40 CFR 85.2207 (read); EPA420-R-01-015 (as quoted);
California's exception for evap (from memory).
"""

from __future__ import annotations

import pytest

from proveout.model.case import CodeSeen
from proveout.model.problem import BadInputError
from proveout.readiness.driving import Cycle, Memory, cleared, driven, is_full_trip, is_warm_up
from proveout.readiness.enabling import USUAL, outlook
from proveout.readiness.inspection import PROGRAMMES, Vehicle, inspect
from proveout.readiness.needs import needs
from proveout.readiness.regulation import FIGURES, MEMORY, QUOTED, READ, TYPICAL
from proveout.readiness.status import COMPRESSION, SPARK, decode_status

PASS, FAIL, IDLE = Cycle(True), Cycle(True, fault=True), Cycle(False)


def after(*cycles: Cycle, start: Memory | None = None) -> Memory:
    memory = start or Memory()
    for cycle in cycles:
        memory = driven(memory, cycle)
    return memory


class TestStatusWord:
    """Service 01, item 01."""

    def test_lamp_on_three_codes_one_monitor_unready(self) -> None:
        status = decode_status("83 07 65 04")
        assert (status.lamp_on, status.codes, status.compression) == (True, 3, False)
        assert [m.name for m in status.monitors if m.continuous] == ["misfire", "fuel-system", "components"]
        others = {m.name for m in status.monitors if not m.continuous}
        assert others == {"catalyst", "evap", "oxygen-sensor", "oxygen-sensor-heater"}
        assert status.unready == ("evap",)
        assert not status.just_cleared

    def test_lamp_off_no_codes_four_unready_looks_just_cleared(self) -> None:
        status = decode_status("00076565")
        assert (status.lamp_on, status.codes) == (False, 0)
        assert status.unready == ("catalyst", "evap", "oxygen-sensor", "oxygen-sensor-heater")
        assert status.just_cleared

    def test_a_one_means_not_ready(self) -> None:
        """The polarity: supported bits are 1 for yes, completion bits 1 for no."""
        assert decode_status("00 00 04 00").unready == ()
        assert decode_status("00 00 04 04").unready == ("evap",)

    def test_a_monitor_that_is_not_there_is_never_unready(self) -> None:
        assert decode_status("00 70 00 FF").unready == ()

    @pytest.mark.parametrize(("bit", "name"), list(enumerate(SPARK)))
    def test_each_bit_of_a_spark_engine(self, bit: int, name: str) -> None:
        word = f"00 00 {1 << bit:02X} {1 << bit:02X}"
        assert decode_status(word).unready == (name,)

    @pytest.mark.parametrize(("bit", "name"), list(enumerate(COMPRESSION)))
    def test_each_bit_of_a_diesel(self, bit: int, name: str) -> None:
        status = decode_status(f"00 08 {1 << bit:02X} {1 << bit:02X}")
        assert status.compression
        assert status.unready == ((name,) if name else ())

    @pytest.mark.parametrize("bit", range(3))
    def test_each_continuous_bit(self, bit: int) -> None:
        status = decode_status(f"00 {(1 << bit) | (1 << (bit + 4)):02X} 00 00")
        assert [m.continuous for m in status.monitors] == [True]
        assert len(status.unready) == 1

    @pytest.mark.parametrize("word", ["", "83 07 65", "83 07 65 04 00", "8G 07 65 04", "83-07-65-04"])
    def test_other_words_are_refused(self, word: str) -> None:
        with pytest.raises(BadInputError):
            decode_status(word)


class TestTwoTrips:
    """13 CCR 1968.2: pending at the first, confirmed with the lamp at the second."""

    def test_first_detection_is_pending_only(self) -> None:
        assert after(FAIL) == Memory(pending=True)

    def test_second_detection_confirms_lights_and_stores_permanently(self) -> None:
        memory = after(FAIL, FAIL)
        assert memory.confirmed and memory.lamp and memory.permanent

    def test_a_cycle_in_which_the_monitor_does_not_run_does_not_count(self) -> None:
        assert after(FAIL, IDLE, IDLE, FAIL).confirmed

    def test_a_pass_between_takes_the_pending_code_away(self) -> None:
        assert after(FAIL, PASS) == Memory(passes=1)
        assert not after(FAIL, PASS, FAIL).confirmed

    def test_the_lamp_goes_off_after_three_passes_in_a_row(self) -> None:
        lit = after(FAIL, FAIL)
        assert after(PASS, PASS, start=lit).lamp
        assert not after(PASS, PASS, PASS, start=lit).lamp
        assert after(PASS, PASS, FAIL, PASS, PASS, start=lit).lamp

    def test_the_code_is_erased_after_forty_warm_ups_more(self) -> None:
        off = after(FAIL, FAIL, PASS, PASS, PASS)
        assert off.confirmed
        forty = [IDLE] * 40
        kept = after(*forty[off.warm_ups + 1 :], start=off)
        assert kept.confirmed
        assert not after(IDLE, start=kept).confirmed

    def test_only_warm_ups_count(self) -> None:
        off = after(FAIL, FAIL, PASS, PASS, PASS)
        assert after(*[Cycle(False, warm_up=False)] * 100, start=off).confirmed

    @pytest.mark.parametrize(
        ("start", "peak", "is_one"), [(20, 90, True), (60, 80, False), (49, 71, True), (20, 70.9, False)]
    )
    def test_a_warm_up_rises_22_degrees_and_reaches_71(self, start: float, peak: float, is_one: bool) -> None:
        assert is_warm_up(start, peak) is is_one


class TestPermanentCodes:
    """13 CCR 1968.2(d)(2.5): no tool clears them."""

    def test_clearing_leaves_the_permanent_code_alone(self) -> None:
        assert cleared(after(FAIL, FAIL)) == Memory(permanent=True, cleared=True)

    def test_three_passes_in_a_row_take_it_away(self) -> None:
        lit = after(FAIL, FAIL)
        assert after(PASS, PASS, start=lit).permanent
        assert not after(PASS, PASS, PASS, start=lit).permanent

    def test_after_a_clear_one_pass_and_one_full_trip_do(self) -> None:
        memory = cleared(after(FAIL, FAIL))
        short = Cycle(True, full_trip=False)
        assert after(short, start=memory).permanent
        assert not after(short, Cycle(False), start=memory).permanent
        assert not after(PASS, start=memory).permanent
        assert after(Cycle(False), start=memory).permanent

    @pytest.mark.parametrize(
        ("running", "fast", "idle", "is_one"),
        [(600, 300, 30, True), (599, 300, 30, False), (600, 299, 30, False), (600, 300, 29, False)],
    )
    def test_a_full_trip(self, running: float, fast: float, idle: float, is_one: bool) -> None:
        assert is_full_trip(running, fast, idle) is is_one


FEDERAL, CALIFORNIA = PROGRAMMES["us-federal"], PROGRAMMES["us-california"]


def unready(year: int, count: int) -> Vehicle:
    return Vehicle(year, lamp_lights=True, unready=("evap", "catalyst", "egr-vvt", "oxygen-sensor")[:count])


class TestInspection:
    """40 CFR 85.2207 and EPA420-R-01-015."""

    @pytest.mark.parametrize(
        ("year", "count", "passes"),
        [
            (1996, 2, True),
            (2000, 2, True),
            (2000, 3, False),
            (2001, 1, True),
            (2001, 2, False),
            (2020, 0, True),
        ],
    )
    def test_how_many_monitors_may_be_unready(self, year: int, count: int, passes: bool) -> None:
        assert inspect(unready(year, count), FEDERAL).passes is passes

    def test_model_year_1995_is_outside_the_rule(self) -> None:
        found = inspect(unready(1995, 4), FEDERAL)
        assert not found.covered and found.passes

    def test_connector_lamp_and_codes_fail(self) -> None:
        assert inspect(Vehicle(2005, connector_works=False), FEDERAL).failed
        assert inspect(Vehicle(2005, lamp_commanded=True, lamp_lights=False), FEDERAL).failed
        lit = Vehicle(2005, lamp_commanded=True, lamp_lights=True, confirmed=("P0442",))
        assert "P0442" in inspect(lit, FEDERAL).failed[0]

    def test_a_pending_code_alone_does_not_fail(self) -> None:
        found = inspect(Vehicle(2005, lamp_lights=True, pending=("P0442",)), FEDERAL)
        assert found.passes and "pending" in found.remarks[0]

    def test_a_permanent_code_alone_fails_in_california_only(self) -> None:
        vehicle = Vehicle(2010, lamp_lights=True, permanent=("P0442",))
        assert inspect(vehicle, FEDERAL).passes
        assert not inspect(vehicle, CALIFORNIA).passes

    def test_in_california_evap_alone_may_be_unready(self) -> None:
        assert inspect(Vehicle(2005, unready=("evap",)), CALIFORNIA).passes
        assert not inspect(Vehicle(2005, unready=("catalyst",)), CALIFORNIA).passes
        assert not inspect(Vehicle(2005, unready=("evap", "catalyst")), CALIFORNIA).passes


class TestEvapMonitor:
    """Commonly published conditions, in the region of 13 CCR 1968.2(d)(4.3.2): typical, no hard limits."""

    GOOD = {  # noqa: RUF012
        "ambient_c": 15.0,
        "start_coolant_c": 16.0,
        "fuel_level_pct": 50.0,
        "barometer_kpa": 98.0,
        "soak_h": 9.0,
    }

    def test_a_mild_morning_with_half_a_tank(self) -> None:
        found = outlook("evap", self.GOOD)
        assert len(found.met) == 5 and not found.unmet

    @pytest.mark.parametrize(
        ("quantity", "value"),
        [
            ("ambient_c", 4.3),
            ("ambient_c", 35.1),
            ("fuel_level_pct", 14),
            ("fuel_level_pct", 86),
            ("barometer_kpa", 74.9),
            ("start_coolant_c", 60),
        ],
    )
    def test_what_keeps_it_from_running(self, quantity: str, value: float) -> None:
        (unmet,) = outlook("evap", {**self.GOOD, quantity: value}).unmet
        assert unmet.quantity == quantity

    def test_2438_m_is_75_kpa_in_the_standard_atmosphere(self) -> None:
        """ISO 2533: p = 101.325 (1 - 0.0065 h / 288.15)^5.25588 kPa; 8,000 ft is 2438.4 m."""
        height = FIGURES["evap-ratio-altitude"].value
        pressure = 101.325 * (1 - 0.0065 * height / 288.15) ** 5.25588
        assert pressure == pytest.approx(75.26, abs=0.01)
        (limit,) = (c.low for c in USUAL["evap"] if c.quantity == "barometer_kpa")
        assert limit == round(pressure)

    def test_fahrenheit_figures(self) -> None:
        """40 and 95 degF, 12 and 40 degF of difference, 160 degF, 25 mph, as the regulation gives them."""
        assert FIGURES["evap-ratio-coldest"].value == pytest.approx((40 - 32) / 1.8, abs=0.05)
        assert FIGURES["evap-ratio-warmest"].value == pytest.approx((95 - 32) / 1.8, abs=0.05)
        assert FIGURES["evap-ratio-soak"].value == pytest.approx(12 / 1.8, abs=0.05)
        assert FIGURES["warm-up-rise"].value == pytest.approx(40 / 1.8, abs=0.5)
        assert FIGURES["warm-up-reach"].value == pytest.approx((160 - 32) / 1.8, abs=0.5)
        assert FIGURES["trip-fast-speed"].value == pytest.approx(25 * 1.609344, abs=0.5)
        assert FIGURES["evap-leak-federal"].value == pytest.approx(0.040 * 25.4)
        assert FIGURES["evap-leak-california"].value == pytest.approx(0.020 * 25.4)


class TestNeeds:
    """What is said of the driving still to be done carries the figures above."""

    def test_each_status_and_the_code_s_own_monitor_first(self) -> None:
        codes = (CodeSeen("P0442", "permanent"), CodeSeen("P0300", "pending"), CodeSeen("P0455"))
        monitors = {"P0442": "evap", "P0455": "evap"}
        found = needs(codes, monitors, ("catalyst", "evap"), cleared=True, given=TestEvapMonitor.GOOD)
        assert [need.about for need in found] == ["P0442", "P0300", "P0455", "evap", "catalyst"]
        assert all(
            text in found[0].what for text in ("no tool clears it", "10 min", "5 min", "40 km/h", "30 s")
        )
        assert "confirms or goes" in found[1].what
        assert "3 times in a row" in found[2].what and "40 warm-ups" in found[2].what
        assert found[3].outlook is not None and not found[3].outlook.unmet

    def test_a_permanent_code_that_was_not_cleared_needs_three_passes(self) -> None:
        (need,) = needs((CodeSeen("P0442", "permanent"),), {"P0442": "evap"}, (), cleared=False)
        assert "3 times in a row" in need.what and "10 min" not in need.what


def test_every_figure_says_where_it_stands_and_how_sure() -> None:
    for figure in FIGURES.values():
        assert figure.source and figure.unit and figure.sure in (READ, QUOTED, MEMORY, TYPICAL)
