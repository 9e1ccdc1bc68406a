"""A typed stimulus-response series as numbers."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from msgspec import Struct

from proveout.measure.barometer import ask_for_barometer, in_unit, needs_barometer, referred
from proveout.measure.instrument import Instrument, basic_meter
from proveout.measure.possible import check_physics, check_possible
from proveout.measure.reading import Quantity, Reading, read
from proveout.measure.typed import plain
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.model.specs import ReadingSpec, SeriesSpec


class Points(Struct, frozen=True):
    """A series in the units of its spec.

    Attributes:
        stimuli: signed, as typed; steps 0, 1, 2 where none were typed.
        distances: of the stimuli from zero, counted on the side of the largest.
        readings: the responses.
        typed: (stimulus, response) as typed.
        steps_only: no stimulus was typed.
    """

    stimuli: tuple[float, ...]
    distances: tuple[float, ...]
    readings: tuple[Reading, ...]
    typed: tuple[tuple[str, str], ...]
    steps_only: bool

    @property
    def responses(self) -> tuple[float, ...]:
        """The responses as numbers."""
        return tuple(reading.middle for reading in self.readings)

    @property
    def last_place(self) -> float:
        """The finest last digit that was written."""
        return min(reading.last_place for reading in self.readings)


def read_series(text: str, place: Place = NOWHERE) -> tuple[tuple[str, str], ...]:
    """Split a series typed as one text into (stimulus, response) pairs.

    Points are separated by ``;``, or by blanks or commas where they are bare numbers; stimulus and response
    by ``:``, ``=`` or ``->``. Points without a stimulus are steps of a growing one.

    Raises:
        BadInputError: nothing is there.
    """
    text = plain(text)
    points = [part for part in text.split(";") if part.strip()]
    if len(points) == 1 and not re.search(r"[:=>]", text):
        points = _listed(text)
    if not points:
        example = "points such as `0 kPa: 2.5 V; 1 kPa: 2.2 V`"
        raise BadInputError(Problem(place, "unreadable-value", "no series", example))
    pairs = (re.split(r"\s*(?::|=|->)\s*", point.strip(), maxsplit=1) for point in points)
    return tuple((pair[0], pair[1]) if len(pair) == 2 else ("", pair[0]) for pair in pairs)


def _listed(text: str) -> list[str]:
    """Split ``2.5, 2.2, 1.8 V`` or ``2.5 2.2 1.8`` into values; the last unit serves all."""
    parts = [part for part in re.split(r",\s+|\s+(?=[-+.0-9])", text) if part]
    unit = parts[-1].lstrip("+-.,0123456789").strip() if parts else ""
    return [f"{part} {unit}" if unit and part[-1:].isdigit() else part for part in parts]


def read_points(
    spec: ReadingSpec,
    rules: SeriesSpec,
    pairs: Sequence[tuple[str, str]],
    place: Place = NOWHERE,
    barometer: Quantity | None = None,
) -> Points:
    """Read every point.

    Raises:
        BadInputError: one cannot be read, there are too few, or every stimulus is the same.
    """
    if len(pairs) < rules.at_least:
        raise BadInputError(Problem(
            place, "too-few-points", f"{len(pairs)} points", f"at least {rules.at_least}",
            "take more points, up and down again where nothing forbids it",
        ))  # fmt: skip
    readings = tuple(
        _figure(
            read(y, spec.quantity, spec.unit, spec.relative_to, place), spec.relative_to, barometer, place
        )
        for _, y in pairs
    )
    steps_only = not any(x.strip() for x, _ in pairs)
    stimuli = (
        tuple(float(i) for i in range(len(pairs))) if steps_only else _stimuli(rules, pairs, place, barometer)
    )
    distances = _distances(stimuli, rules.law, place)
    return Points(stimuli, distances, readings, tuple(pairs), steps_only)


def _stimuli(
    rules: SeriesSpec, pairs: Sequence[tuple[str, str]], place: Place, barometer: Quantity | None
) -> tuple[float, ...]:
    quantity, unit, reference = rules.stimulus_quantity, rules.stimulus_unit, rules.stimulus_relative_to
    readings = [
        _figure(read(x, quantity, unit, reference, place), reference, barometer, place) for x, _ in pairs
    ]
    applied = ReadingSpec(quantity, unit, reference)
    gauge = basic_meter(quantity, unit, max(abs(reading.middle) for reading in readings))
    for reading in readings:
        check_physics(reading, applied, gauge, None, place)
    return tuple(reading.middle for reading in readings)


def _figure(reading: Reading, relative_to: str, barometer: Quantity | None, place: Place) -> Reading:
    """Return a reading that is a number, counted from what is asked for."""
    if math.isinf(reading.low) or math.isinf(reading.high):
        raise BadInputError(Problem(
            place, "unreadable-value", f"`{reading.text}` in a series", "a figure",
            "record an open circuit by itself",
        ))  # fmt: skip
    if not needs_barometer(reading, relative_to):
        return reading
    if barometer is None:
        raise ask_for_barometer(reading, relative_to, place)
    return referred(reading, relative_to, in_unit(barometer, reading.unit))


def _distances(stimuli: Sequence[float], law: str, place: Place) -> tuple[float, ...]:
    """Return the distance of each stimulus from zero, counted on the side of the largest.

    A line has no side of its own; other laws take the stimulus as it is.
    """
    if len(set(stimuli)) < 2:
        raise same_stimuli(place)
    side = -1.0 if law == "line" and abs(min(stimuli)) > abs(max(stimuli)) else 1.0
    return tuple(side * x for x in stimuli)


def same_stimuli(place: Place) -> BadInputError:
    """Return the complaint that nothing was changed between the points."""
    return BadInputError(Problem(
        place, "too-few-points", "every point has the same stimulus", "at least two different ones",
        "change the stimulus between the points",
    ))  # fmt: skip


def check_points(spec: ReadingSpec, points: Points, meter: Instrument, place: Place = NOWHERE) -> None:
    """Refuse a series with a response that meter or physics cannot give.

    Raises:
        BadInputError: naming the first such point.
    """
    for reading in points.readings:
        check_physics(reading, spec, meter, None, place)
        check_possible(reading, spec.possible, meter, place)
