"""A series of readings judged: points, fit, acceptance band, and the weight of each result."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from proveout.measure.classes import (
    HYSTERESIS,
    NOISY,
    STUCK,
    STUCK_HIGH,
    STUCK_LOW,
    MeterNoise,
    class_weights,
)
from proveout.measure.conform import DROP_BELOW
from proveout.measure.instrument import Instrument, basic_meter
from proveout.measure.laws import LAWS
from proveout.measure.points import Points, check_points, read_points, read_series, same_stimuli
from proveout.measure.reading import Quantity, Reading
from proveout.measure.response import NoLineError, Response, respond
from proveout.measure.specification import read_instrument
from proveout.measure.supply import points_at_nominal
from proveout.model.atom import CANNOT_TELL
from proveout.model.problem import NOWHERE, Place
from proveout.model.specs import ReadingSpec, SeriesSpec

#: Half the width of the drawn acceptance band, in accepted standard deviations.
_BAND = 2.0

#: How finely the band is given.
_BAND_POINTS = 25


class Point(Struct, frozen=True):
    """One point of a series in the units of the spec, as typed, and whether it is a drop-out."""

    stimulus: float
    response: float
    typed: tuple[str, str]
    residual: float
    drop_out: bool


class Study(Struct, frozen=True):
    """What a series shows, ready to be drawn.

    Attributes:
        points: in the order taken; stimuli as typed in sign and size.
        stimulus_unit, response_unit: symbols of the axes.
        band: (stimulus, low, fitted, high) along the stretch: the fitted law and the accepted scatter.
        start: accepted responses at zero stimulus, or None.
        response: the figures behind it.
        classes: (fault class, weight), heaviest first, tiny ones left out.
        results: (result id, weight) for every class with weight.
        figures: (name, value, unit, standard uncertainty).
        shown: the series as one line of text.
        notes: remarks in sentences.
    """

    points: tuple[Point, ...]
    stimulus_unit: str
    response_unit: str
    band: tuple[tuple[float, float, float, float], ...]
    start: tuple[float, float] | None
    response: Response
    classes: tuple[tuple[str, float], ...]
    results: tuple[tuple[str, float], ...]
    figures: tuple[tuple[str, float, str, float], ...]
    shown: str
    notes: tuple[str, ...]


def study(
    spec: ReadingSpec,
    rules: SeriesSpec,
    pairs: Sequence[tuple[str, str]] | str,
    instrument: str = "",
    place: Place = NOWHERE,
    barometer: Quantity | None = None,
    supply: Reading | None = None,
) -> Study:
    """Judge a series by the series limits of a spec.

    Args:
        spec: what the response is.
        rules: its series limits.
        pairs: (stimulus, response) as typed, in the order taken, or the whole as one text.
        instrument: of the response, as typed.
        place: where the series stands.
        barometer: local air pressure, where known.
        supply: the sensor's supply as measured, where known; used where the limits scale with it.

    Raises:
        BadInputError: a point cannot be read or be true, or there are too few.
    """
    typed = read_series(pairs, place) if isinstance(pairs, str) else pairs
    points = read_points(spec, rules, typed, place, barometer)
    size = max(abs(y) for y in points.responses)
    meter = read_instrument(instrument, spec.quantity, spec.unit, size, place).resolved(points.last_place)
    check_points(spec, points, meter, place)
    points = points_at_nominal(points, supply, spec, place)
    try:
        seen = respond(points.distances, points.responses, rules.law, rules.noise, _repeatability(meter))
    except NoLineError:
        raise same_stimuli(place) from None
    noise = _meter_noise(meter, size, rules, points, seen)
    return _told(spec, rules, points, seen, class_weights(seen, rules, noise))


def _repeatability(meter: Instrument) -> float:
    """Return the standard uncertainty of repeating a reading: one count, rectangular."""
    return max(meter.count, 1e-9) / math.sqrt(3.0)


def _meter_noise(
    meter: Instrument, size: float, rules: SeriesSpec, points: Points, seen: Response
) -> MeterNoise:
    """Return what the instruments add; of the stimulus a basic gauge is assumed."""
    stimulus = 0.0
    if not points.steps_only:
        stretch = max(points.stimuli) - min(points.stimuli)
        largest = max(abs(x) for x in points.stimuli)
        gauge = basic_meter(rules.stimulus_quantity, rules.stimulus_unit, largest)
        stimulus = abs(seen.change) / stretch * gauge.uncertainty(largest)
    return MeterNoise(_repeatability(meter), meter.uncertainty(size), stimulus)


def _told(
    spec: ReadingSpec, rules: SeriesSpec, points: Points, seen: Response, weights: dict[str, float]
) -> Study:
    """Put the study together."""
    results: dict[str, float] = {}
    for name, weight in weights.items():
        result = result_of(name, rules)
        results[result] = results.get(result, 0.0) + weight
    classes = tuple(sorted(((n, w) for n, w in weights.items() if w >= 0.005), key=lambda p: (-p[1], p[0])))
    per = "step" if points.steps_only else rules.stimulus_unit
    return Study(
        _points(points, rules, seen),
        per,
        spec.unit,
        _band(points, rules, seen),
        rules.start,
        seen,
        classes,
        tuple(results.items()),
        _figures(spec.unit, per, rules, seen),
        _shown(points, spec.unit),
        _notes(points, classes, seen),
    )


def result_of(name: str, rules: SeriesSpec) -> str:
    """Return the result id of a fault class, or of the nearest class that the spec names."""
    nearest = {STUCK_LOW: STUCK, STUCK_HIGH: STUCK, HYSTERESIS: NOISY}
    return rules.classes.get(name) or rules.classes.get(nearest.get(name, ""), CANNOT_TELL)


def _points(points: Points, rules: SeriesSpec, seen: Response) -> tuple[Point, ...]:
    rows = zip(points.stimuli, points.distances, points.responses, points.typed, strict=True)
    return tuple(
        Point(stimulus, y, typed, y - _fitted(x, rules, seen), i in seen.wild)
        for i, (stimulus, x, y, typed) in enumerate(rows)
    )


def _fitted(x: float, rules: SeriesSpec, seen: Response) -> float:
    law = LAWS[rules.law]
    return law.back(seen.offset + seen.gain * law.x(x))


def _band(points: Points, rules: SeriesSpec, seen: Response) -> tuple[tuple[float, float, float, float], ...]:
    """Return the fitted law with the accepted scatter on both sides, along the stretch of stimuli."""
    side = 1.0 if points.stimuli == points.distances else -1.0
    low, high = min(points.distances), max(points.distances)
    along = [low + (high - low) * i / (_BAND_POINTS - 1) for i in range(_BAND_POINTS)]
    half = _BAND * rules.noise
    return tuple((side * x, y - half, y, y + half) for x in along for y in [_fitted(x, rules, seen)])


def _figures(
    unit: str, per: str, rules: SeriesSpec, seen: Response
) -> tuple[tuple[str, float, str, float], ...]:
    """Return gain, offset, noise, hysteresis and change with their standard uncertainties."""
    gain_unit = {"line": f"{unit} per {per}", "thermistor": "1000 K", "decay": f"root {unit} per {per}"}
    return (
        ("gain", seen.gain, gain_unit[rules.law], seen.u_gain),
        ("response at zero stimulus", seen.start, unit, seen.u_start),
        ("change over the series", seen.change, unit, seen.u_change),
        ("noise about the law", seen.noise, unit, seen.noise / math.sqrt(2.0 * seen.free)),
        ("hysteresis", seen.hysteresis, unit, seen.u_hysteresis),
        ("drop-outs", float(len(seen.wild)), "points", 0.0),
    )


def _shown(points: Points, unit: str) -> str:
    responses = [f"{y} {unit}" if y[-1:].isdigit() else y for _, y in points.typed]
    if points.steps_only:
        return ", ".join(responses)
    return "; ".join(f"{x}: {y}" for (x, _), y in zip(points.typed, responses, strict=True))


def _notes(points: Points, classes: Sequence[tuple[str, float]], seen: Response) -> tuple[str, ...]:
    notes = []
    if points.steps_only:
        notes.append("No stimulus was given; the points count as equal steps of a growing one.")
    if seen.wild:
        count = f"{len(seen.wild)} of {len(points.typed)}"
        notes.append(f"{count} points stand far off the law: drop-outs or misreadings.")
    if len(classes) > 1 and classes[1][1] >= DROP_BELOW:
        named = ", ".join(f"{name} {weight:.0%}" for name, weight in classes)
        notes.append(f"The series lies near a limit: {named}. Repeat it, with more points.")
    return tuple(notes)
