"""From what a series shows to its fault class, with weights where a limit is near."""

from __future__ import annotations

import math

from msgspec import Struct

from proveout.measure.conform import normal_cdf
from proveout.measure.response import Response
from proveout.model.specs import SeriesSpec

GOOD, BIASED, STUCK, NOISY, REVERSED, HYSTERESIS = (
    "good",
    "biased",
    "stuck",
    "noisy",
    "reversed",
    "hysteresis",
)
STUCK_LOW, STUCK_HIGH = "stuck-low", "stuck-high"


class MeterNoise(Struct, frozen=True):
    """What the instruments add to a response, in its unit.

    Attributes:
        repeat: standard uncertainty of repeating the same reading: the resolution of the meter.
        accuracy: standard uncertainty of the reading itself.
        stimulus: standard uncertainty of a response that comes from setting the stimulus.
    """

    repeat: float
    accuracy: float
    stimulus: float


def class_weights(seen: Response, spec: SeriesSpec, meter: MeterNoise) -> dict[str, float]:
    """Return the weight of each fault class; they sum to 1.

    The questions are asked in this order, each of what the former leaves: is it noisy; does it move at
    all, and the right way; does it come back the same way; does it start right.
    """
    noisy = _noisy(seen, spec, meter)
    moved = seen.change if spec.direction == "rises" else -seen.change
    u_moved = math.hypot(seen.u_change, meter.repeat)
    reversed_ = normal_cdf((-spec.span - moved) / u_moved)
    follows = normal_cdf((moved - spec.span) / u_moved)
    stuck = max(0.0, 1.0 - reversed_ - follows)
    loop = _beyond(abs(seen.hysteresis), spec.repeat, math.hypot(seen.u_hysteresis, meter.repeat))
    biased = _biased(seen, spec, meter)
    calm = 1.0 - noisy
    weights = {
        NOISY: noisy,
        REVERSED: calm * reversed_,
        HYSTERESIS: calm * follows * loop,
        BIASED: calm * follows * (1.0 - loop) * biased,
        GOOD: calm * follows * (1.0 - loop) * (1.0 - biased),
    }
    return weights | {name: calm * stuck * share for name, share in _where_stuck(seen, spec, meter).items()}


def _beyond(value: float, limit: float, u: float) -> float:
    return normal_cdf((value - limit) / max(u, 1e-12 * abs(limit), 1e-300))


def _noisy(seen: Response, spec: SeriesSpec, meter: MeterNoise) -> float:
    """Return the probability that the scatter of this series, without what the meter adds, is too large.

    What is judged is the scatter seen in this series, not that of endlessly many; so its uncertainty is
    what the meter adds: from s² = s0² + v with noncentral scatter, u(s)² = v/f + v²/(2 s² f).
    """
    v = meter.repeat**2
    limit = math.sqrt(spec.noise**2 + v + meter.stimulus**2)
    s = max(seen.noise, 1e-300)
    u = (
        math.sqrt(v / seen.free + v * v / (2.0 * s * s * seen.free))
        if seen.noise > meter.repeat
        else meter.repeat
    )
    repeat = math.hypot(spec.repeat, 2.0 * math.hypot(meter.repeat, meter.stimulus))
    return max(_beyond(seen.noise, limit, u), _beyond(seen.repeat, repeat, math.sqrt(2.0) * meter.repeat))


def _biased(seen: Response, spec: SeriesSpec, meter: MeterNoise) -> float:
    if spec.start is None:
        return 0.0
    u = max(math.hypot(seen.u_start, meter.accuracy), 1e-300)
    low, high = spec.start
    return max(0.0, 1.0 - normal_cdf((high - seen.start) / u) + normal_cdf((low - seen.start) / u))


def _where_stuck(seen: Response, spec: SeriesSpec, meter: MeterNoise) -> dict[str, float]:
    """Split stuck into stuck-low, stuck and stuck-high by where the response stands."""
    u = max(meter.accuracy, 1e-300)
    low = normal_cdf((spec.low_end - seen.middle) / u) if spec.low_end is not None else 0.0
    high = normal_cdf((seen.middle - spec.high_end) / u) if spec.high_end is not None else 0.0
    return {STUCK_LOW: low, STUCK_HIGH: high, STUCK: max(0.0, 1.0 - low - high)}
