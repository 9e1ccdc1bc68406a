"""Checks of what is taken for the fault: a flat battery, the pump's own hose, an engine that has to run."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_state import complaints, layer

READ = (
    "\n    reading: {quantity: voltage, unit: V, possible: 0..18, limits_source: from memory, "
    "limits: {fed: 10.5.., missing: otherwise}}"
)
PUMP = "\n    tools: [hand-vacuum-pump]"
TOOL = "tools: [{id: hand-vacuum-pump, title: Hand pump, basic: false, price: 25..50}]\n"
LEAKS = "{is: abnormal, means: It leaks., shows"


RUNS = "{engine: running}"


def _found(
    tmp_path: Path, extra: str, misleads: str = "", state: str = "{key: on, engine: off}"
) -> list[str]:
    """Return what ``rules check`` complains of an inspection with more to it, and with false readings."""
    base, shop = layer(tmp_path, state, extra)
    path = shop / "fan.yaml"
    text = path.read_text().replace("{is: abnormal, means: No., shows", LEAKS)
    text = text.replace("steps: [Measure.]", f"steps: [Measure.]\n    false_readings: [{misleads}]")
    path.write_text(text + (TOOL if "pump" in extra else ""))
    return [problem.check for problem in complaints(base, shop)]


@pytest.mark.parametrize(("extra", "found"), [(READ, "battery-unread"), (PUMP, "pump-untried")])
def test_what_gives_the_same_result_is_asked_for(tmp_path: Path, extra: str, found: str) -> None:
    assert _found(tmp_path, extra) == [found]


@pytest.mark.parametrize(
    ("extra", "misleads"),
    [
        (READ, "A flat battery reads low everywhere."),
        (READ, "Compare with the battery."),
        (READ.replace("10.5", "4.75"), ""),
        (READ.replace("voltage, unit: V", "resistance, unit: ohm"), ""),
        (PUMP, "Test the pump against your thumb first."),
        ("", ""),
    ],
)
def test_what_is_said_or_does_not_matter_passes(tmp_path: Path, extra: str, misleads: str) -> None:
    assert _found(tmp_path, extra, misleads) == []


@pytest.mark.parametrize(
    ("extra", "misleads", "found"),
    [
        (READ, "A flat battery reads low everywhere.", ["charging-unread"]),
        (READ, "Take it against the battery's posts at the same moment.", []),
        (READ + "\n    leads: Red on the positive post.", "", []),
        (READ.replace("10.5", "12.7"), "", []),
    ],
)
def test_volts_beside_a_charging_engine_are_read_against_the_battery(
    tmp_path: Path, extra: str, misleads: str, found: list[str]
) -> None:
    assert _found(tmp_path, extra, misleads, RUNS) == found


def test_a_false_reading_that_starts_the_engine_is_read_as_well(tmp_path: Path) -> None:
    assert _found(tmp_path, "", "Some are fed late; start the engine and read again.") == [
        "engine-undeclared"
    ]


def test_a_false_reading_that_only_speaks_of_an_engine_passes(tmp_path: Path) -> None:
    assert _found(tmp_path, "", "Just after a start at idle it reads high.") == []
