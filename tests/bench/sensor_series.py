"""Simulated study: does a series of readings tell the fault of a three-wire pressure sensor apart?

A sensor fed 5 V gives about 2.5 V at rest and falls by some 0.35 V for each kPa of vacuum. A hand pump with
a small gauge steps the vacuum up and, in one plan, down again; a meter of 2000 counts reads the signal.
Sensor, fault, gauge and meter all vary from one simulated test to the next (``draw_*``). For each fault class
the share of right answers is printed beside that of a plain threshold test, which has the same limits but
looks only at the voltage at rest and at the most vacuum.

Invented ranges throughout: this measures the method, not any sensor. Run:

    python tests/bench/sensor_series.py [tests per class]
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from proveout.measure.judging import judge
from proveout.model.specs import ReadingSpec, SeriesSpec

CLASSES = ("good", "biased", "stuck", "stuck-low", "stuck-high", "noisy", "reversed", "hysteresis")

#: The limits of a light-vacuum test as a book would give them.
SPEC = ReadingSpec(
    quantity="voltage",
    unit="V",
    possible=(0.0, 5.5),
    series=SeriesSpec(
        stimulus_quantity="pressure",
        stimulus_unit="kPa",
        stimulus_relative_to="atmosphere",
        at_least=4,
        direction="falls",
        span=0.3,
        noise=0.08,
        repeat=0.12,
        classes={name: name for name in CLASSES},
        start=(2.3, 2.7),
        low_end=0.5,
        high_end=4.5,
    ),
)

#: Vacuum steps in kPa: up only, and up and down again.
PLANS = {
    "up, 4 points": (0.0, 0.8, 1.6, 2.4),
    "up, 6 points": (0.0, 0.5, 1.0, 1.5, 2.0, 2.5),
    "up and down, 9 points": (0.0, 0.6, 1.2, 1.8, 2.4, 1.8, 1.2, 0.6, 0.0),
}

#: Hysteresis cannot be seen without coming back.
ONE_WAY = ("up, 4 points", "up, 6 points")

Draw = Callable[[random.Random, Sequence[float]], list[float]]


@dataclass(frozen=True, slots=True)
class Sensor:
    """One simulated sensor: volts at rest, volts per kPa of vacuum, its own noise, its curvature."""

    rest: float
    gain: float
    noise: float
    bow: float

    def at(self, vacuum: float, rng: random.Random) -> float:
        """Return its signal in V at a vacuum in kPa; it bends a little between rest and 2.5 kPa."""
        t = vacuum / 2.5
        return self.rest - self.gain * vacuum + self.bow * 4.0 * t * (1.0 - t) + rng.gauss(0.0, self.noise)


def _sound(rng: random.Random) -> Sensor:
    return Sensor(
        rng.uniform(2.42, 2.58), rng.uniform(0.28, 0.42), rng.uniform(0.0, 0.012), rng.uniform(-0.04, 0.04)
    )


def draw_good(rng: random.Random, plan: Sequence[float]) -> list[float]:
    """Return the signals of a sound sensor."""
    sensor = _sound(rng)
    return [sensor.at(x, rng) for x in plan]


def draw_biased(rng: random.Random, plan: Sequence[float]) -> list[float]:
    """Return the signals of a sensor that is off by a constant 0.35 to 0.9 V either way."""
    off = rng.choice((-1.0, 1.0)) * rng.uniform(0.35, 0.9)
    return [y + off for y in draw_good(rng, plan)]


def draw_stuck(rng: random.Random, plan: Sequence[float]) -> list[float]:
    """Return the signals of a sensor that hardly moves, somewhere between the ends."""
    rest, gain = rng.uniform(0.9, 4.1), rng.uniform(-0.05, 0.05)
    return [rest - gain * x + rng.gauss(0.0, 0.008) for x in plan]


def draw_stuck_low(rng: random.Random, plan: Sequence[float]) -> list[float]:
    """Return the signals of a shorted or unpowered signal."""
    rest = rng.uniform(0.0, 0.3)
    return [abs(rest + rng.gauss(0.0, 0.008)) for _ in plan]


def draw_stuck_high(rng: random.Random, plan: Sequence[float]) -> list[float]:
    """Return the signals of an open ground or a signal shorted to the supply."""
    rest = rng.uniform(4.7, 5.05)
    return [rest + rng.gauss(0.0, 0.008) for _ in plan]


def draw_noisy(rng: random.Random, plan: Sequence[float]) -> list[float]:
    """Return signals of a bad contact: scatter of 0.3 to 0.6 V, or one or two drop-outs towards ground."""
    clean = draw_good(rng, plan)
    if rng.random() < 0.5:
        scatter = rng.uniform(0.3, 0.6)
        return [min(5.0, max(0.0, y + rng.gauss(0.0, scatter))) for y in clean]
    for i in rng.sample(range(len(plan)), rng.choice((1, 2)) if len(plan) > 4 else 1):
        clean[i] = rng.uniform(0.0, 0.5)
    return clean


def draw_reversed(rng: random.Random, plan: Sequence[float]) -> list[float]:
    """Return the signals of a sensor that rises where it should fall."""
    sensor = _sound(rng)
    return [2.0 * sensor.rest - sensor.at(x, rng) for x in plan]


def draw_hysteresis(rng: random.Random, plan: Sequence[float]) -> list[float]:
    """Return the signals of a sensor that comes back 0.25 to 0.5 V off: by a loop or by sticking."""
    size, loop = rng.choice((-1.0, 1.0)) * rng.uniform(0.25, 0.5), rng.random() < 0.5
    signals, before = [], -1.0
    for x, y in zip(plan, draw_good(rng, plan), strict=True):
        t = x / max(plan)
        share = 4.0 * t * (1.0 - t) if loop else 1.0
        signals.append(y + size * share if x < before else y)
        before = x
    return signals


DRAWS: dict[str, Draw] = {
    "good": draw_good,
    "biased": draw_biased,
    "stuck": draw_stuck,
    "stuck-low": draw_stuck_low,
    "stuck-high": draw_stuck_high,
    "noisy": draw_noisy,
    "reversed": draw_reversed,
    "hysteresis": draw_hysteresis,
}


def typed_series(
    rng: random.Random, plan: Sequence[float], signals: Sequence[float]
) -> list[tuple[str, str]]:
    """Return series as it would be typed: a gauge that is off and hard to read, a meter of 2000 counts."""
    gauge, meter = 1.0 + rng.gauss(0.0, 0.012), 1.0 + rng.gauss(0.0, 0.0025)
    pairs = []
    for vacuum, signal in zip(plan, signals, strict=True):
        shown = round(max(0.0, vacuum * gauge + (rng.uniform(-0.03, 0.03) if vacuum else 0.0)), 2)
        volts = round(signal * meter + rng.choice((-0.01, 0.0, 0.0, 0.01)), 2)
        pairs.append((f"-{shown} kPa" if shown else "0 kPa", f"{max(0.0, volts):.2f} V"))
    return pairs


def called(pairs: Sequence[tuple[str, str]]) -> tuple[str, float]:
    """Return the heaviest class of a series and its weight."""
    return judge(SPEC, series=pairs).states[0]


def threshold_test(pairs: Sequence[tuple[str, str]]) -> str:
    """Call a series by its volts at rest and at the most vacuum, as a plain check would."""
    volts = [float(y.split()[0]) for _, y in pairs]
    vacuums = [abs(float(x.split()[0])) for x, _ in pairs]
    first, last = volts[0], volts[vacuums.index(max(vacuums))]
    if first < 0.5 and last < 0.5:
        return "stuck-low"
    if first > 4.5 and last > 4.5:
        return "stuck-high"
    if last > first + 0.3:
        return "reversed"
    if last > first - 0.3:
        return "stuck"
    return "good" if 2.3 <= first <= 2.7 else "biased"


@dataclass(frozen=True, slots=True)
class Score:
    """Right answers out of all, by the series judgement and by the threshold test, and the wrong calls."""

    tests: int
    right: int
    sure: int
    plain_right: int
    plain_good: int
    wrong: Counter[str]


def score(name: str, plan: Sequence[float], tests: int, seed: int) -> Score:
    """Simulate one class under one plan."""
    rng = random.Random(f"{name} {len(plan)} {seed}")
    right = sure = plain_right = plain_good = 0
    wrong: Counter[str] = Counter()
    for _ in range(tests):
        pairs = typed_series(rng, plan, DRAWS[name](rng, plan))
        answer, weight = called(pairs)
        plain = threshold_test(pairs)
        right += answer == name
        sure += answer == name and weight > 0.999
        plain_right += plain == name
        plain_good += plain == "good"
        if answer != name:
            wrong[answer] += 1
    return Score(tests, right, sure, plain_right, plain_good, wrong)


def draw_near(rng: random.Random, plan: Sequence[float]) -> tuple[list[float], str]:
    """Return a sensor near the limits, sound or not, and what it truly is by those limits."""
    rest, change = rng.uniform(2.1, 2.9), rng.uniform(0.15, 0.6)
    signals = [rest - change * x / max(plan) + rng.gauss(0.0, 0.005) for x in plan]
    return signals, "stuck" if change < 0.3 else "good" if 2.3 <= rest <= 2.7 else "biased"


def near_limits(plan: Sequence[float], tests: int, seed: int) -> tuple[float, float, float]:
    """Return percent undivided and right, undivided and wrong, and wrong by the threshold test, at limits."""
    rng = random.Random(f"near {len(plan)} {seed}")
    right = wrong = plain_wrong = 0
    for _ in range(tests):
        signals, truth = draw_near(rng, plan)
        pairs = typed_series(rng, plan, signals)
        states = judge(SPEC, series=pairs).states
        right += len(states) == 1 and states[0][0] == truth
        wrong += len(states) == 1 and states[0][0] != truth
        plain_wrong += threshold_test(pairs) != truth
    return 100.0 * right / tests, 100.0 * wrong / tests, 100.0 * plain_wrong / tests


#: What the study must show, in percent.
RIGHT_AT_LEAST, GOOD_CALLED_BAD_AT_MOST = 97.0, 0.5


def table(title: str, plan: Sequence[float], tests: int, seed: int) -> bool:
    """Print the scores of one plan; say whether they meet the bars."""
    print(f"\n{title}, {tests} simulated tests a class")
    print(
        f"{'class':11}{'right %':>9}{'undivided %':>13}{'threshold %':>13}{'it says good %':>16}  wrong calls"
    )
    met = True
    for name in CLASSES:
        if name == "hysteresis" and title in ONE_WAY:
            continue
        done = score(name, plan, tests, seed)
        wrong = ", ".join(f"{key} {count}" for key, count in done.wrong.most_common())
        right, *more = (100.0 * n / tests for n in (done.right, done.sure, done.plain_right, done.plain_good))
        print(f"{name:11}{right:9.2f}{more[0]:13.2f}{more[1]:13.2f}{more[2]:16.2f}  {wrong}")
        met &= right >= (100.0 - GOOD_CALLED_BAD_AT_MOST if name == "good" else RIGHT_AT_LEAST)
    return met


def main(tests: int = 2000, seed: int = 1) -> int:
    """Print the tables of all plans; give 1 where a bar is missed, else 0."""
    met = [table(title, plan, tests, seed) for title, plan in PLANS.items()]
    print("\nsensors drawn around the limits: % undivided and right, undivided and wrong, threshold wrong")
    for title, plan in PLANS.items():
        right, wrong, plain_wrong = near_limits(plan, tests, seed)
        print(f"{title:24}{right:8.2f}{wrong:8.2f}{plain_wrong:8.2f}")
    bars = f"right at least {RIGHT_AT_LEAST} %, good called bad at most {GOOD_CALLED_BAD_AT_MOST} %"
    print(f"\n{bars}: {'met' if all(met) else 'missed'}")
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:2])))
