"""What a reading yields besides: a formula of the trade called with the reading as one of its inputs."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

from proveout.measure.compute import Answer, Argument, compute, find_formula, read_arguments
from proveout.measure.convert import convert, gain
from proveout.measure.instrument import Instrument
from proveout.measure.reading import Reading
from proveout.measure.units import UnitError, find_unit
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.model.specs import DerivedSpec, ReadingSpec
from proveout.physics.formula import NUMBER, Parameter

#: Name of the result that gives the uncertainty of the one before it.
_SPREAD = "standard uncertainty"


def derive(
    spec: ReadingSpec,
    derived: DerivedSpec,
    reading: Reading,
    meter: Instrument,
    conditions: Sequence[str] = (),
    place: Place = NOWHERE,
) -> Answer | None:
    """Compute the figure that a reading yields; None where a figure that must be stated is not.

    Its uncertainty is that of the meter, of inputs given as ranges and of the formula itself, to first order.

    Args:
        spec: what is read.
        derived: the formula and its inputs.
        reading: in the unit of the spec, counted from what the spec says; finite.
        meter: what it was read with.
        conditions: as typed; ``current 8 A`` or ``volume = 40 L`` states an input.
        place: where the reading stands.

    Raises:
        BadInputError: a stated input cannot be read, or the formula does not hold there.
    """
    formula = find_formula(derived.formula, place)
    typed = {**derived.given, **_stated([p.name for p in formula.parameters], conditions)}
    if any(name not in typed for name in derived.stated):
        return None
    typed.pop(derived.reading, None)
    known = {derived.reading: _argument(spec, formula.parameter(derived.reading), reading, meter)}
    answers = compute(derived.formula, typed, place, known)
    own = next((a.value for a in answers[1:2] if a.meaning == _SPREAD and isinstance(a.value, float)), 0.0)
    first = answers[0]
    return Answer(formula.title, first.value, first.unit, math.hypot(first.uncertainty, own))


def _stated(names: Sequence[str], conditions: Sequence[str]) -> dict[str, str]:
    """Find the inputs among conditions: a name of the formula, then a figure; other texts are left alone."""
    found = {}
    for text in conditions:
        for name in names:
            words = re.escape(name).replace("_", "[ _]")
            pattern = rf"\s*{words}\s*(?:[:=]|of|at|is)?\s*([-+±]?\s*[.,]?\d.*)"
            if match := re.fullmatch(pattern, text, re.IGNORECASE):
                found[name] = match[1]
    return found


def _argument(spec: ReadingSpec, parameter: Parameter, reading: Reading, meter: Instrument) -> Argument:
    """Return the reading in the parameter's unit, with the standard uncertainty of meter and typed range."""
    own, wanted = find_unit(spec.unit, spec.quantity), find_unit(parameter.unit, parameter.quantity)
    spread = math.hypot(
        meter.uncertainty(reading.middle), (reading.high - reading.low) / 2.0 / math.sqrt(3.0)
    )
    return Argument(convert(reading.middle, own, wanted), spread * gain(own, wanted))


def faults(spec: ReadingSpec, derived: DerivedSpec) -> Iterator[tuple[str, Problem]]:
    """Return what is wrong with a derived figure of the book: key it stands at, and the complaint.

    The key is ``formula`` or the name of an input; empty for the whole.
    """
    try:
        formula = find_formula(derived.formula)
    except BadInputError as error:
        yield "formula", error.problems[0]
        return
    names = [parameter.name for parameter in formula.parameters]
    for name in (derived.reading, *derived.stated, *derived.given):
        if name and name not in names:
            saw = f"`{name}`, which {formula.name} does not take"
            yield name, Problem(NOWHERE, "unknown-key", saw, f"one of {', '.join(names)}")
            return
    if not derived.reading or spec.series:
        saw = "a series" if spec.series else "no input called `reading`"
        mend = "write `reading` at the input that the reading stands for"
        yield "", Problem(NOWHERE, "derived-reading", saw, "one value as an input", mend)
        return
    yield from _reading_faults(spec, formula.parameter(derived.reading))
    for name, text in derived.given.items():
        yield from _figure_faults(derived, name, text)
    due = {p.name for p in formula.parameters if p.default is None}
    for name in sorted(due - {derived.reading, *derived.stated, *derived.given}):
        needed = formula.parameter(name)
        saw = f"no input `{name}` for {formula.name}"
        expected = f"{needed.meaning}: a figure{f' in {needed.unit}' if needed.unit else ''}, or `stated`"
        yield "", Problem(NOWHERE, "missing-key", saw, expected)


def _reading_faults(spec: ReadingSpec, parameter: Parameter) -> Iterator[tuple[str, Problem]]:
    """Complain where the reading cannot stand for the parameter."""
    expected = f"{parameter.meaning}: {parameter.quantity} in {parameter.unit or 'figures'}"
    if parameter.many or parameter.quantity == NUMBER:
        saw = f"the reading as `{parameter.name}`"
        yield parameter.name, Problem(NOWHERE, "wrong-dimension", saw, expected, "name another input")
        return
    try:
        own, wanted = find_unit(spec.unit, spec.quantity), find_unit(parameter.unit, parameter.quantity)
    except UnitError:
        return  # the check of units complains of it
    if own.dimension != wanted.dimension or parameter.relative_to not in ("", spec.relative_to):
        against = f", relative to {spec.relative_to}" if spec.relative_to else ""
        expected += f", relative to {parameter.relative_to}" if parameter.relative_to else ""
        saw = f"a reading of {spec.quantity} in {spec.unit}{against}"
        yield parameter.name, Problem(NOWHERE, "wrong-dimension", saw, expected, "name another input")


def _figure_faults(derived: DerivedSpec, name: str, text: str) -> Iterator[tuple[str, Problem]]:
    """Complain of a figure that cannot be read."""
    formula = find_formula(derived.formula)
    others = {p.name: Argument(0.0) for p in formula.parameters if p.name != name}
    try:
        read_arguments(formula, {name: text}, NOWHERE, others)
    except BadInputError as error:
        yield name, error.problems[0]
