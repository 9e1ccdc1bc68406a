"""A reading as typed, judged by the limits of the book: which result it is, and how surely."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from proveout.measure.barometer import PLAUSIBLE, ask_for_barometer, in_unit, needs_barometer, referred
from proveout.measure.conditions import read_conditions
from proveout.measure.conform import result_weights, results_between, settle
from proveout.measure.derived import derive
from proveout.measure.display import rounded, scale_of, show_figure
from proveout.measure.instrument import Instrument
from proveout.measure.own import Replaced
from proveout.measure.possible import check_physics, check_possible
from proveout.measure.reading import Quantity, Reading, read
from proveout.measure.specification import read_instrument
from proveout.measure.study import Study, study
from proveout.measure.supply import at_nominal, scaled_meter
from proveout.measure.typed import ABSOLUTE, GAUGE
from proveout.measure.wording import Advice, CountedWith, Remark, Said, needed_bound, shown
from proveout.model.atom import CANNOT_TELL
from proveout.model.preference import AS_WRITTEN
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.model.specs import ReadingSpec

States = tuple[tuple[str, float], ...]


class Derived(Struct, frozen=True):
    """A figure computed from a reading.

    Attributes:
        name, value, unit: what it is.
        uncertainty: its standard uncertainty; 0 where not known.
        formula: name of the formula that the book derives it by; empty for what judging itself gives.
    """

    name: str
    value: float
    unit: str
    uncertainty: float = 0.0
    formula: str = ""

    def text(self, display: str = AS_WRITTEN) -> str:
        """Return it as ``name: value ± uncertainty unit``, the unit by preference."""
        return f"{self.name}: {show_figure(self.value, self.unit, self.uncertainty, display)}"


class Judged(Struct, frozen=True):
    """What a reading says. It holds figures; units by preference come in where its texts are made.

    Attributes:
        states: result ids with weights that sum to 1, heaviest first; one when decided.
        spec: what it was judged by, with the vehicle's own limits where they were used.
        typed: the reading as typed; None for a series.
        remarks: for the user.
        derived: figures computed from it.
        bound: the instrument's largest error at that reading, in the limits' unit.
        needed: the largest error with which an instrument would decide this reading; None where it is
            decided, or where no instrument can.
        study: for a series, its points, fit and acceptance band.
        own: the vehicle's own limits, where they took the place of generic ones.
        own_alone: whether only they make of it what it is, so that it is no proof.
    """

    states: States
    spec: ReadingSpec
    typed: Reading | None = None
    remarks: tuple[Remark, ...] = ()
    derived: tuple[Derived, ...] = ()
    bound: float = 0.0
    needed: float | None = None
    study: Study | None = None
    own: Replaced | None = None
    own_alone: bool = False

    @property
    def decided(self) -> str | None:
        """The result when there is only one, else None."""
        return self.states[0][0] if len(self.states) == 1 else None

    def said(self, display: str = AS_WRITTEN) -> str:
        """Return the reading as typed, with the value in the limits' unit, by preference, where that differs.

        Where the vehicle's own limits were used it says so, with the generic ones.
        """
        text = self.study.shown if self.study else ""
        if self.typed is not None:
            text = shown(self.typed, scale_of(self.spec, display))
        changes = self.own.changes(display) if self.own else ()
        limits = ", ".join(f"{result} {mine} (generic {generic})" for result, generic, mine in changes)
        return f"{text}; by {self.spec.limits_source}: {limits}" if limits else text

    @property
    def shown(self) -> str:
        """The reading as ``said``, without a preference."""
        return self.said()

    @property
    def notes(self) -> tuple[str, ...]:
        """The remarks as ``noted``, without a preference."""
        return self.noted()

    def yields(self, display: str = AS_WRITTEN) -> tuple[str, ...]:
        """Return the figures that the book derives from it, in sentences, units by preference."""
        return tuple(f"{item.text(display)} ({item.formula})." for item in self.derived if item.formula)

    def noted(self, display: str = AS_WRITTEN) -> tuple[str, ...]:
        """Return remarks for the user in sentences, units by preference."""
        changes = self.own.changes(display) if self.own else ()
        source = self.spec.limits_source
        return (
            *(f"{result} is {mine} by {source}, in place of the book's generic {generic}."
              for result, generic, mine in changes),
            *(text for remark in self.remarks for text in remark.texts(display)),
        )  # fmt: skip


def judge(
    spec: ReadingSpec,
    *,
    value: str = "",
    series: Sequence[tuple[str, str]] = (),
    instrument: str = "",
    place: Place = NOWHERE,
    barometer: Quantity | None = None,
    conditions: Sequence[str] = (),
) -> Judged:
    """Turn a reading into results with weights.

    Args:
        spec: what is read, with its limits.
        value: the reading as typed; for a series spec it may hold the whole series (see ``read_series``).
        series: (stimulus, response) pairs as typed, in the order in which they were taken.
        instrument: its specification or name as typed; empty for the basic meter of the quantity.
        place: where the reading stands.
        barometer: local air pressure (see ``read_barometer``), where known.
        conditions: as typed; a measured supply and a barometer or altitude among them are used (see
            ``read_conditions``).

    Raises:
        BadInputError: one problem: unreadable, wrong dimension, not possible, too few points, or an air
            pressure that is needed and not given.
    """
    known = read_conditions(conditions, place)
    barometer = known.barometer or barometer
    if spec.series is not None:
        done = study(spec, spec.series, series or value, instrument, place, barometer, known.supply)
        figures = tuple(Derived(*figure) for figure in done.figures)
        remarks = tuple(map(Said, done.notes))
        return Judged(settle(dict(done.results)), spec, None, remarks, figures, study=done)
    if series:
        raise BadInputError(Problem(place, "unreadable-value", "a series of readings", "one value"))
    reading = read(value, spec.quantity, spec.unit, spec.relative_to, place)
    meter = read_instrument(instrument, spec.quantity, spec.unit, _size(spec, reading), place)
    meter = meter.resolved(reading.last_place)
    _check_reference(spec, reading, place)
    air = in_unit(barometer, spec.unit) if barometer and spec.quantity == "pressure" else None
    check_physics(reading, spec, meter, air, place)
    if spec.supply is not None and known.supply is not None:
        check_possible(reading, spec.possible, meter, place)
        return _ratiometric(spec, reading, meter, known.supply, place)
    try:
        moved, states, notes = _against_limits(spec, reading, meter, barometer, place)
    except BadInputError:
        _check_sign(spec, reading, meter, None, place)
        raise
    _check_sign(spec, moved, meter, states, place)
    told = _told(spec, moved, meter, states, notes)
    return _with_derived(told, spec, moved, meter, conditions, place)


def _with_derived(
    told: Judged,
    spec: ReadingSpec,
    reading: Reading,
    meter: Instrument,
    conditions: Sequence[str],
    place: Place,
) -> Judged:
    """Add the figure that the book derives from a reading; a note where its formula does not hold."""
    if spec.derived is None or reading.one_sided or math.isinf(reading.middle):
        return told
    if reading.relative_to != spec.relative_to:
        return told
    try:
        answer = derive(spec, spec.derived, reading, meter, conditions, place)
    except BadInputError as error:
        (problem,) = error.problems
        if problem.check != "outside-range":
            raise
        return replace(told, remarks=(*told.remarks, Said(f"Not computed: {problem.saw}.")))
    if answer is None:
        return told
    if isinstance(answer.value, str):
        return replace(told, remarks=(*told.remarks, Said(f"{answer.meaning}: {answer.value}.")))
    figure = Derived(answer.meaning, answer.value, answer.unit, answer.uncertainty, spec.derived.formula)
    return replace(told, derived=(*told.derived, figure))


def _ratiometric(
    spec: ReadingSpec, reading: Reading, meter: Instrument, supply: Reading, place: Place
) -> Judged:
    """Judge a signal that scales with its supply as it would be at the supply of the limits."""
    nominal = at_nominal(reading, supply, spec, place)
    scaled = scaled_meter(meter, reading, nominal, supply)
    states = _states(spec, nominal, scaled, place)
    figure = Derived(f"at a supply of {spec.supply:g} V", nominal.middle, spec.unit, scaled.uncertainty(0.0))
    note = (
        f"Scaled from a supply of {rounded(supply.middle)} V to {spec.supply:g} V: "
        f"counts as {rounded(nominal.middle)} {spec.unit}."
    )
    told = _told(spec, nominal, scaled, states, (Said(note),), (figure,))
    return replace(told, typed=reading)


def _told(
    spec: ReadingSpec,
    reading: Reading,
    meter: Instrument,
    states: States,
    notes: tuple[Remark, ...],
    derived: tuple[Derived, ...] = (),
) -> Judged:
    """Put a judgement together."""
    bound = 0.0 if math.isinf(reading.middle) else meter.bound(reading.middle)
    needed = needed_bound(spec, reading) if len(states) > 1 else None
    remarks = (*notes, Advice(spec, reading, meter, states))
    return Judged(states, spec, reading, remarks, derived, bound, needed)


def _size(spec: ReadingSpec, reading: Reading) -> float:
    """Return the size by which a meter's range is chosen: the larger of the reading and its nearest limit."""
    sizes = [abs(x) for x in (reading.low, reading.high) if math.isfinite(x)]
    edges = [edge for band in spec.bands for edge in (band.low, band.high) if edge is not None]
    at = max(sizes, default=math.inf)
    nearest = min(edges, key=lambda edge: abs(abs(edge) - at), default=0.0)
    return max(at, abs(nearest)) if sizes else 1.0


def _against_limits(
    spec: ReadingSpec,
    reading: Reading,
    meter: Instrument,
    barometer: Quantity | None,
    place: Place,
) -> tuple[Reading, States, tuple[Remark, ...]]:
    """Refer the reading to what its limits are counted from, then weigh the results."""
    if not needs_barometer(reading, spec.relative_to):
        return reading, _states(spec, reading, meter, place), ()
    if barometer is not None:
        moved = referred(reading, spec.relative_to, in_unit(barometer, spec.unit))
        return moved, _states(spec, moved, meter, place), (CountedWith(barometer),)
    return _at_any_altitude(spec, reading, meter, place)


def _at_any_altitude(
    spec: ReadingSpec, reading: Reading, meter: Instrument, place: Place
) -> tuple[Reading, States, tuple[Remark, ...]]:
    """Judge without a barometer where the answer is the same wherever cars go; else ask for it."""
    ends = [
        referred(reading, spec.relative_to, in_unit(Quantity(air, "kPa", ABSOLUTE), spec.unit))
        for air in PLAUSIBLE
    ]
    found: list[States] = []
    refused: list[BadInputError] = []
    for end in ends:
        try:
            found.append(_states(spec, end, meter, place))
        except BadInputError as error:
            refused.append(error)
    if len(refused) == len(ends):
        raise refused[0]
    if refused or len(found[0]) > 1 or found[0] != found[1]:
        raise ask_for_barometer(reading, spec.relative_to, place)
    return reading, found[0], (Said("The answer is the same at any altitude; no barometer needed."),)


def _states(spec: ReadingSpec, reading: Reading, meter: Instrument, place: Place) -> States:
    """Weigh the results of a reading that is counted as its limits are."""
    check_possible(reading, spec.possible, meter, place)
    if reading.one_sided:
        return _one_sided_states(spec, reading, meter, place)
    u = max(meter.uncertainty(reading.low), meter.uncertainty(reading.high))
    weights = result_weights(spec.bands, reading.low, reading.high, u)
    return _known(weights)


def _check_reference(spec: ReadingSpec, reading: Reading, place: Place) -> None:
    """Ask what a pressure in inches or millimetres of a column is counted from, where limits are absolute.

    Vacuum gauges and readers of absolute pressure both show these units.
    """
    if (
        spec.relative_to == ABSOLUTE
        and reading.typed_unit in ("inHg", "mmHg", "inH2O", "mmH2O", "cmH2O")
        and not reading.referenced
    ):
        bare = reading.text.lstrip("+-")
        raise BadInputError(Problem(
            place, "reference-needed", f"`{reading.text}` can be a vacuum or an absolute pressure", "a word",
            f"write `{bare} abs` for what a reader shows, `{bare} vac` for what a vacuum gauge shows",
        ))  # fmt: skip


def _check_sign(
    spec: ReadingSpec, reading: Reading, meter: Instrument, states: States | None, place: Place
) -> None:
    """Ask whether a bare positive pressure was a vacuum, where all limits are vacuums and it matters.

    Vacuum gauges show their figures without a sign, so `18 inHg` at a hand pump mostly means 18 inHg below
    the air. ``states`` is what it says as a pressure, None where it cannot be one.
    """
    edges = [edge for band in spec.bands for edge in (band.low, band.high) if edge is not None]
    bare = reading.relative_to == GAUGE and not reading.referenced and reading.text[:1] not in "+-"
    if not bare or reading.low <= 0.0 or not edges or max(edges) > 0.0:
        return
    below = replace(reading, low=-reading.high, high=-reading.low)
    try:
        check_physics(below, spec, meter, None, place)
        otherwise = _states(spec, below, meter, place)
    except BadInputError:
        return
    if otherwise != states:
        raise BadInputError(Problem(
            place, "sign-needed", f"`{reading.text}` can be pressure or vacuum", "a sign or a word",
            f"write `-{reading.text}` or `{reading.text} vac` for a vacuum, "
            f"`{reading.text} gauge` for a pressure above the air",
        ))  # fmt: skip


def _known(weights: Mapping[str | None, float]) -> States:
    """Leave out what falls between the limits; mostly there, the reading tells nothing."""
    between = weights.get(None, 0.0)
    if between > 0.5:
        return ((CANNOT_TELL, 1.0),)
    return settle({result: weight for result, weight in weights.items() if result is not None and weight > 0})


def _one_sided_states(spec: ReadingSpec, reading: Reading, meter: Instrument, place: Place) -> States:
    """Judge ``< 0.1`` or ``> 20M``: only where every value on that side has one result."""
    u = meter.uncertainty(reading.high if math.isinf(reading.low) else reading.low)
    inside = results_between(spec.bands, reading.low - 2.0 * u, reading.high + 2.0 * u)
    if len(inside) != 1 or None in inside:
        raise BadInputError(Problem(
            place, "unreadable-value", f"`{reading.text}` can lie on either side of a limit", "a figure",
            "give the number that the meter shows",
        ))  # fmt: skip
    return tuple((str(result), 1.0) for result in inside)
