"""US federal emission warranty: 8 years / 80,000 miles for three components, 2 / 24,000 for the others.

Sources: EPA fact sheet on emission warranties of 1995 and newer vehicles (the figures were read; the three
components as quoted elsewhere); Clean Air Act 207(i), 42 USC 7541(i)(2). 1 mile = 1.609344 km exactly (NIST
SP 811).
"""

from __future__ import annotations

import pytest

from proveout.readiness.warranty import ASK_FIRST, FEDERAL, MAY_PAY, OVER, UNKNOWN, reminders


def stands(component: str, age: float | None, km: float | None, year: int | None = 2018) -> dict[str, str]:
    return {item.term.id: item.stands for item in reminders(component, age, km, year)}


def test_eighty_thousand_miles_are_128748_km() -> None:
    major, other = FEDERAL
    assert major.km == pytest.approx(128_748, abs=0.5)
    assert other.km == pytest.approx(38_624, abs=0.5)


@pytest.mark.parametrize(
    ("age", "km", "major", "other"),
    [
        (1.9, 38_000, MAY_PAY, MAY_PAY),
        (2.0, 10_000, MAY_PAY, OVER),
        (1.0, 38_700, MAY_PAY, OVER),
        (7.9, 128_700, MAY_PAY, OVER),
        (8.0, 10_000, OVER, OVER),
        (1.0, 128_800, OVER, OVER),
        (None, 10_000, UNKNOWN, UNKNOWN),
        (3.0, None, UNKNOWN, OVER),
        (9.0, None, OVER, OVER),
    ],
)
def test_whichever_comes_first(age: float | None, km: float | None, major: str, other: str) -> None:
    assert stands("catalytic-converter", age, km) == {"us-federal-major": major, "us-federal-other": other}


@pytest.mark.parametrize("component", ["purge-valve", "vent-valve", "vapour-hose", "tank-pressure-sensor"])
def test_evap_parts_are_not_in_the_long_term(component: str) -> None:
    assert stands(component, 3, 50_000) == {"us-federal-other": OVER}


THREE = ["catalytic-converter", "engine-control-module", "on-board-diagnostic-device"]


@pytest.mark.parametrize("component", THREE)
def test_the_three_components_are(component: str) -> None:
    assert stands(component, 3, 50_000)["us-federal-major"] == MAY_PAY


def test_older_rules_held_before_model_year_1995() -> None:
    assert set(stands("catalytic-converter", 1, 1_000, 1994).values()) == {OVER}
    assert set(stands("catalytic-converter", 1, 1_000, 1995).values()) == {MAY_PAY}


def test_recalls_and_bulletins_are_always_asked_for() -> None:
    text = " ".join(ASK_FIRST)
    assert "recall" in text and "bulletin" in text
