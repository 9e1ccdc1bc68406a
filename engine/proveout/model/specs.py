"""What an inspection reads: its bands, a series of readings, what is derived from them, and own figures."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from proveout.model.problem import NOWHERE, Place
from proveout.model.rule import When


class Band(Struct, frozen=True, array_like=True):
    """A limit: a reading in [low, high] (in the spec's unit, None = open end) has result ``result``.

    ``low`` and ``high`` both None is the ``otherwise`` band, tried last.
    """

    result: str
    low: float | None = None
    high: float | None = None
    place: Place = NOWHERE


class SeriesSpec(Struct, frozen=True, array_like=True):
    """How a stimulus-response series is judged.

    Figures are in the response's unit, the stimulus in its own. The response is expected to follow the
    stimulus monotonically.

    Attributes:
        stimulus_quantity, stimulus_unit: what is applied, such as pressure in kPa.
        stimulus_relative_to: for pressure, ``atmosphere`` (gauge, vacuum negative) or ``vacuum`` (absolute).
        at_least: fewest points that are accepted.
        start: (low, high) of the response at zero stimulus, or None where there is no such limit.
        direction: ``rises`` or ``falls``: how the response moves as the stimulus grows away from zero.
        span: smallest change of the response over the whole series; less is ``stuck``.
        noise: largest scatter (standard deviation) about the fitted law that is accepted.
        repeat: largest difference of two responses at about the same stimulus.
        classes: fault class to result id. Classes: good, biased, stuck, noisy, reversed, hysteresis;
            ``stuck-low`` and ``stuck-high`` may be given besides ``stuck`` and are then preferred.
        low_end, high_end: response below or above which a stuck sensor is stuck-low or stuck-high.
        law: ``line`` (in proportion), ``thermistor`` (degC against ohm) or ``decay`` (time against pressure
            through a leak).
    """

    stimulus_quantity: str
    stimulus_unit: str
    stimulus_relative_to: str
    at_least: int
    direction: str
    span: float
    noise: float
    repeat: float
    classes: Mapping[str, str]
    start: tuple[float, float] | None = None
    low_end: float | None = None
    high_end: float | None = None
    law: str = "line"


class DerivedSpec(Struct, frozen=True, array_like=True):
    """A figure computed from a reading by one of the trade's formulas.

    Attributes:
        formula: its name, as ``physics.registry`` has it.
        reading: the parameter that the reading stands for.
        given: further parameters with the book's figure as typed; a condition of that name goes before it.
        stated: parameters that have to be stated as conditions of the reading.
        note: how far to trust it and where its figures come from, in a sentence.
    """

    formula: str
    reading: str
    given: Mapping[str, str]
    stated: tuple[str, ...] = ()
    note: str = ""


class ReadingSpec(Struct, frozen=True, array_like=True):
    """What is read in a measurement inspection and how a value becomes a result.

    Attributes:
        quantity: voltage, resistance, pressure, current, temperature, time, length, frequency, duty, ratio,
            speed, flow or count.
        unit: unit in which limits are given and values shown.
        relative_to: for pressure, ``atmosphere`` or ``vacuum``; empty otherwise.
        bands: the limits in order; the first that contains the value wins.
        possible: (low, high) outside which no meter or physics can give the value.
        series: set where the reading is a series of (stimulus, response) pairs; then ``bands`` is empty.
        limits_source: where the limits come from.
        supply: volts of the sensor's supply for which the limits stand, where they scale with it
            (ratiometric sensors); a measured supply among the conditions then scales them.
        derived: a figure that the reading yields besides; it decides nothing.
    """

    quantity: str
    unit: str
    relative_to: str = ""
    bands: tuple[Band, ...] = ()
    possible: tuple[float | None, float | None] = (None, None)
    series: SeriesSpec | None = None
    limits_source: str = ""
    supply: float | None = None
    derived: DerivedSpec | None = None


class OwnFigures(Struct, frozen=True, array_like=True):
    """Limits of one inspection that hold for certain vehicles, or for the one of a case.

    Attributes:
        inspection: id.
        limits: result id to limits as typed, such as ``12..17 ohm``.
        reference: the maker's document and page that they come from.
        when: facts of the vehicles that they hold for; empty for all.
        id: of the entry; empty where a case states them.
    """

    inspection: str
    limits: Mapping[str, str]
    reference: str
    when: When = field(default_factory=When)
    id: str = ""
    place: Place = NOWHERE
    layer: str = "book"
