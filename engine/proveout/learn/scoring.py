"""How good forecasts were: Brier score and its parts, calibration error, log loss, reliability.

A forecast is a probability that was given for something that then came out true (1) or false (0).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

#: Fewer forecasts than this say nothing reliable; fewer in a bin leave its point uncertain.
FEW, FEW_IN_BIN = 50, 10

#: Forecasts are kept this far from 0 and 1 in the log loss, which would be infinite there.
_CLIP = 1e-15


@dataclass(frozen=True, slots=True)
class Bin:
    """Forecasts within [low, high): their number, their mean, and the share that came true."""

    low: float
    high: float
    count: int
    forecast: float
    came_true: float

    @property
    def few(self) -> bool:
        """Whether there are too few for the share to mean much."""
        return self.count < FEW_IN_BIN


@dataclass(frozen=True, slots=True)
class Scores:
    """Measures of a set of forecasts.

    ``brier = reliability - resolution + uncertainty + within_bins`` (Murphy 1973; the last is what the bins
    hide: 0 where all forecasts of a bin are equal; Stephenson, Coelho and Jolliffe 2008).

    Attributes:
        count: number of forecasts.
        brier: mean squared error, 0 is perfect, 0.25 is what always 0.5 gets.
        reliability: how far forecasts are from what came true, 0 is best.
        resolution: how far the bins' shares are from the overall share, more is better.
        uncertainty: what forecasting the overall share would get.
        within_bins: see above.
        calibration_error: expected calibration error: mean distance of forecast and share over the bins.
        log_loss: mean of -ln of the probability given to what came out.
        bins: those that are not empty, ascending.
    """

    count: int
    brier: float
    reliability: float
    resolution: float
    uncertainty: float
    within_bins: float
    calibration_error: float
    log_loss: float
    bins: tuple[Bin, ...]

    @property
    def warning(self) -> str:
        """What to be careful about, or ""."""
        if self.count < FEW:
            return f"{self.count} forecasts are too few to judge by; wait for {FEW}."
        thin = sum(one.few for one in self.bins)
        return f"{thin} of {len(self.bins)} bins hold fewer than {FEW_IN_BIN} forecasts." if thin else ""


def score(forecasts: Sequence[float], outcomes: Sequence[bool | int], bins: int = 10) -> Scores:
    """Measure forecasts against what came out.

    Args:
        forecasts: probabilities in [0, 1], at least one.
        outcomes: 1 or 0, or booleans, one a forecast.
        bins: number of equal bins.

    Raises:
        ValueError: none, unequally many, or a forecast outside [0, 1].
    """
    p = np.asarray(forecasts, dtype=float)
    y = np.asarray(outcomes, dtype=float)
    if p.size == 0 or p.shape != y.shape or not ((p >= 0) & (p <= 1)).all():
        raise ValueError("forecasts in [0, 1] and as many outcomes are needed, at least one")
    found = tuple(_bins(p, y, bins))
    share = np.array([one.count for one in found]) / p.size
    gap = np.array([one.forecast - one.came_true for one in found])
    rate = np.array([one.came_true for one in found])
    brier = float(np.mean((p - y) ** 2))
    reliability, resolution = float(share @ gap**2), float(share @ (rate - y.mean()) ** 2)
    uncertainty = float(y.mean() * (1 - y.mean()))
    kept = np.clip(p, _CLIP, 1 - _CLIP)
    return Scores(
        count=int(p.size),
        brier=brier,
        reliability=reliability,
        resolution=resolution,
        uncertainty=uncertainty,
        within_bins=brier - (reliability - resolution + uncertainty),
        calibration_error=float(share @ np.abs(gap)),
        log_loss=float(-np.mean(y * np.log(kept) + (1 - y) * np.log1p(-kept))),
        bins=found,
    )


def score_by(rows: Iterable[tuple[str, float, bool]], bins: int = 10) -> Mapping[str, Scores]:
    """Measure (family, forecast, outcome) rows family by family, in order of the families' names."""
    sorted_rows: dict[str, list[tuple[float, bool]]] = {}
    for family, forecast, outcome in rows:
        sorted_rows.setdefault(family, []).append((forecast, outcome))
    return {
        family: score([p for p, _ in pairs], [y for _, y in pairs], bins)
        for family, pairs in sorted(sorted_rows.items())
    }


def _bins(p: NDArray[np.float64], y: NDArray[np.float64], bins: int) -> Iterable[Bin]:
    """Sort forecasts into equal bins; 1 belongs to the last."""
    place = np.minimum((p * bins).astype(int), bins - 1)
    for number in range(bins):
        inside = place == number
        if inside.any():
            low, high = number / bins, (number + 1) / bins
            yield Bin(low, high, int(inside.sum()), float(p[inside].mean()), float(y[inside].mean()))
