"""Brier score, Murphy's decomposition, calibration error and log loss; and the intervals of learned figures.

Sources: the decomposition of Murphy (1973), with a worked example computed by hand from the formulas;
scikit-learn's brier_score_loss and log_loss; scipy's gamma and beta distributions.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from proveout.learn.intervals import beta_cdf, beta_interval, gamma_cdf, gamma_interval
from proveout.learn.scoring import score, score_by

FORECASTS = [0.1] * 5 + [0.5] * 4 + [0.9] * 4
OUTCOMES = [1, 0, 0, 0, 0, 1, 1, 0, 0, 1, 1, 1, 0]


def test_the_worked_example() -> None:
    found = score(FORECASTS, OUTCOMES)
    assert found.brier == pytest.approx(0.206923, abs=5e-7)
    assert found.reliability == pytest.approx(0.010769, abs=5e-7)
    assert found.resolution == pytest.approx(0.052367, abs=5e-7)
    assert found.uncertainty == pytest.approx(0.248521, abs=5e-7)
    assert found.calibration_error == pytest.approx(0.084615, abs=5e-7)
    assert found.log_loss == pytest.approx(0.624253, abs=5e-7)
    assert found.within_bins == pytest.approx(0, abs=1e-15)
    assert [(b.count, b.came_true) for b in found.bins] == [(5, 0.2), (4, 0.5), (4, 0.75)]


def test_perfect_and_even_forecasts() -> None:
    assert score([1, 0, 1], [1, 0, 1]).brier == 0
    assert score([0.5] * 6, [1, 0, 1, 0, 0, 0]).brier == 0.25
    assert score([0, 1], [0, 1]).log_loss == pytest.approx(0, abs=1e-12)


def test_against_scikit_learn() -> None:
    from sklearn.calibration import calibration_curve  # here, since each process would load it, 2 s
    from sklearn.metrics import brier_score_loss, log_loss

    assert score([0.1, 0.9, 0.8, 0.3], [0, 1, 1, 0]).brier == pytest.approx(0.0375)
    dice = np.random.default_rng(7)
    for size in (1, 2, 30, 4000):
        p = dice.random(size)
        y = (dice.random(size) < p**1.3).astype(int)
        found = score(p.tolist(), y.tolist())
        assert found.brier == pytest.approx(brier_score_loss(y, p), abs=1e-12)
        assert found.log_loss == pytest.approx(log_loss(y, p, labels=[0, 1]), abs=1e-12)
        came_true, forecast = calibration_curve(y, p, n_bins=10)
        assert [b.came_true for b in found.bins] == pytest.approx(came_true.tolist())
        assert [b.forecast for b in found.bins] == pytest.approx(forecast.tolist())


def test_the_parts_sum_to_the_whole() -> None:
    dice = np.random.default_rng(8)
    p = dice.random(500)
    y = dice.random(500) < p
    found = score(p.tolist(), y.tolist())
    parts = found.reliability - found.resolution + found.uncertainty + found.within_bins
    assert parts == pytest.approx(found.brier, abs=1e-15)
    # what the bins hide, directly (Stephenson, Coelho and Jolliffe 2008): variance less twice the covariance
    place = np.minimum((p * 10).astype(int), 9)
    direct = sum(
        ((p[place == k] - p[place == k].mean()) ** 2).sum()
        - 2 * ((p[place == k] - p[place == k].mean()) * (y[place == k] - y[place == k].mean())).sum()
        for k in range(10)
    )
    assert found.within_bins == pytest.approx(direct / 500, abs=1e-12)


def test_few_forecasts_give_a_warning() -> None:
    assert "too few" in score(FORECASTS, OUTCOMES).warning
    assert score([0.05, 0.55] * 40, [0, 1] * 40).warning == ""
    assert "1 of 2 bins" in score([0.05] * 60 + [0.55], [0] * 60 + [1]).warning


def test_families_are_scored_apart() -> None:
    found = score_by([("evap", 0.9, True), ("air", 0.9, False), ("evap", 0.8, True)])
    assert list(found) == ["air", "evap"]
    assert found["evap"].count == 2 and found["air"].brier == pytest.approx(0.81)


@pytest.mark.parametrize(("p", "y"), [([], []), ([0.5], [1, 0]), ([1.5], [1]), ([float("nan")], [1])])
def test_what_cannot_be_scored_is_refused(p: list[float], y: list[int]) -> None:
    with pytest.raises(ValueError, match="forecasts"):
        score(p, y)


def test_intervals_against_scipy() -> None:
    dice = np.random.default_rng(9)
    for _ in range(100):
        a, b = np.exp(dice.uniform(-2, 7, 2))
        assert gamma_interval(a, b) == pytest.approx(
            scipy.stats.gamma.interval(0.95, a, scale=1 / b), rel=1e-8
        )
        assert beta_interval(a, b) == pytest.approx(
            scipy.stats.beta.interval(0.95, a, b), rel=1e-8, abs=1e-12
        )
        x = dice.random()
        assert beta_cdf(a, b, x) == pytest.approx(scipy.stats.beta.cdf(x, a, b), abs=1e-11)
        assert gamma_cdf(a, a * 2 * x) == pytest.approx(scipy.stats.gamma.cdf(a * 2 * x, a), abs=1e-11)
