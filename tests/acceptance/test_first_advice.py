"""The first advice on a code alone, as a technician read it; what was wrong once stays mended.

Source: common practice, no source. How the codes were drawn and what each reading found stands in
``rules/judgements/first-advice.md``.
"""

from __future__ import annotations

import re

import pytest

from helpers_shipped import shipped_book
from proveout.chain.closing import close
from proveout.intake.document import case_of
from proveout.plan.advice import advise
from proveout.trial.world import presenting

METER = ("multimeter", "hand-vacuum-pump", "probe-kit", "code-reader", "live-data-reader", "test-light")

#: Codes, whether with a meter, and with what a good technician may begin.
FIRST = {
    "a tired catalyst's code begins where gas leaks in": (
        ("P0420", "P0421", "P0422", "P0430", "P0432"),
        True,
        {"exhaust-leak-look-rear", "pending-codes-read", "exhaust-soapy-water", "catalyst-rap"},
    ),
    "a wire of the front sensor is looked for at the front sensor": (
        ("P2238", "P2242", "P2246", "P2253", "P2628"),
        True,
        {"front-sensor-wiring-look", "front-sensor-swing-watch"},
    ),
    "an open air temperature begins at its own plug": (("P0113",), False, {"intake-air-sensor-look"}),
    "a fuel level that stands at one end needs no tank driven empty": (
        ("P0462", "P0463"),
        True,
        {"level-plug-look", "fuel-gauge-plausible"},
    ),
    "a coil's control that stands low or high is looked for at its plug": (
        ("P2300", "P2301", "P2304", "P2312", "P2321"),
        True,
        {"coil-plug-look"},
    ),
    "a heated catalyst's code begins at its feed": (("P0423", "P0433"), True, {"catalyst-heater-plug-look"}),
    "lean away from idle is looked at in the trims, not in the counters of misfires": (
        ("P2177", "P2179"),
        True,
        {"trim-idle-against-2500", "air-duct-look", "maf-idle-flow"},
    ),
    "an air temperature in question begins at its own plug": (("P0110",), False, {"intake-air-sensor-look"}),
    "a relay that may not pull in is not read with the engine running": (
        ("P0685", "P0686"),
        True,
        {"heater-fuse-test-points", "egr-fuse-with-light", "main-relay-swap", "main-relay-socket-look"},
    ),
}


@pytest.mark.parametrize(
    ("code", "meter", "good"),
    [(code, meter, good) for codes, meter, good in FIRST.values() for code in codes],
)
def test_the_first_inspection_is_one_that_a_technician_would_make(
    code: str, meter: bool, good: set[str]
) -> None:
    case = case_of({"codes": [code], "tools": list(METER) if meter else []}, shipped_book())
    got = advise(case, shipped_book(), "reference")
    assert got.next is not None and got.next.inspection in good


def test_every_wire_code_of_a_wide_range_sensor_speaks_of_a_front_sensor() -> None:
    """The class behind the second line of the table: a rear sensor's silence then tells nothing of it."""
    book = shipped_book()
    codes = [code for code, entry in book.words.codes.items() if "wide-range sensor" in entry.meaning]
    assert len(codes) == 26
    for code in codes:
        found = {fact.key for fact in close(book, presenting(code).atoms, "reference").facts}
        assert "only-front-sensors-complain" in found, code


def test_what_takes_days_has_the_time_of_its_kind() -> None:
    """Clearing, driving for days and reading again takes 40 minutes of work; a tank watched is no quicker."""
    named = re.compile(r"for days|\ba week\b|whole tank")
    days = [entry for entry in shipped_book().inspections.values() if named.search(entry.title)]
    assert len(days) >= 6
    assert [entry.id for entry in days if entry.minutes < 40] == []


def test_banks_are_compared_only_once_the_trims_are_known() -> None:
    """It came first for one code in thirteen, of engines of which three in four have one bank."""
    book = shipped_book()
    assert book.inspections["both-banks-compared"].after == ("trim-idle-against-2500",)
    for code in ("P0171", "P0174", "P0300", "P0087"):
        got = advise(case_of({"codes": [code], "tools": list(METER)}, book), book, "reference")
        assert got.next is not None and got.next.inspection != "both-banks-compared", code


def test_controls_of_several_coils_are_looked_for_at_what_feeds_them() -> None:
    """Two codes of one coil name one circuit, those of two coils what both hang on (common practice)."""
    book = shipped_book()
    for codes, first in ((["P2300", "P0351"], "coil-plug-look"), (["P2300", "P2303"], "coil-fuse-look")):
        got = advise(case_of({"codes": codes, "tools": list(METER)}, book), book, "reference")
        assert got.next is not None and got.next.inspection == first, codes
