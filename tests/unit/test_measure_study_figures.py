"""The simulated study of sensor series in small: the full one is tests/bench/sensor_series.py."""

from __future__ import annotations

import pytest

from bench.sensor_series import CLASSES, ONE_WAY, PLANS, near_limits, score

TESTS = 120


@pytest.mark.parametrize("title", sorted(PLANS))
@pytest.mark.parametrize("name", CLASSES)
def test_right_class(name: str, title: str) -> None:
    if name == "hysteresis" and title in ONE_WAY:
        pytest.skip("hysteresis cannot be seen without coming back")
    done = score(name, PLANS[title], TESTS, seed=7)
    assert done.right / done.tests >= (1.0 if name == "good" else 0.93)


def test_better_than_thresholds() -> None:
    """Noise and hysteresis are what two voltages cannot show."""
    for name in ("noisy", "hysteresis"):
        done = score(name, PLANS["up and down, 9 points"], TESTS, seed=7)
        assert done.right > done.plain_right + 0.9 * TESTS


def test_near_limits_it_would_rather_not_say() -> None:
    _, wrong, plain_wrong = near_limits(PLANS["up, 6 points"], 300, seed=7)
    assert wrong < 2.0 < plain_wrong
