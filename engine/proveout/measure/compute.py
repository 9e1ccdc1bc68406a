"""A formula called with what people type: arguments read in their units, results with their uncertainty."""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from proveout.measure.number import NumberError, read_number
from proveout.measure.propagate import propagate
from proveout.measure.reading import Reading, read
from proveout.measure.typed import plain
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.physics.formula import NUMBER, Formula, Parameter
from proveout.physics.ranges import OutsideRangeError
from proveout.physics.registry import FORMULAS


class Answer(Struct, frozen=True):
    """One result of a formula: a number with its unit and standard uncertainty (0: none), or a word."""

    meaning: str
    value: float | str
    unit: str
    uncertainty: float = 0.0


class Argument(Struct, frozen=True):
    """The value (or values) of a parameter, in its unit, and the standard uncertainty of a single one."""

    value: Any
    uncertainty: float = 0.0


def find_formula(name: str, place: Place = NOWHERE) -> Formula:
    """Return the formula of that name.

    Raises:
        BadInputError: there is none.
    """
    if name in FORMULAS:
        return FORMULAS[name]
    close = difflib.get_close_matches(name, FORMULAS, n=1)
    mend = f"did you mean `{close[0]}`?" if close else "list the formulas to see their names"
    raise BadInputError(Problem(place, "unknown-id", f"no formula `{name}`", "the name of a formula", mend))


def compute(
    name: str, typed: Mapping[str, str], place: Place = NOWHERE, known: Mapping[str, Argument] | None = None
) -> tuple[Answer, ...]:
    """Call a formula with typed arguments.

    Args:
        name: of the formula.
        typed: parameter name to text, such as ``{"voltage": "4.08 V"}``; a list is separated by ``,`` and a
            blank, or by ``;``. A range or a ``±`` form carries its uncertainty into the results.
        place: where they stand.
        known: arguments that are figures already.

    Raises:
        BadInputError: an argument is unknown, missing, unreadable, or outside the range of the formula.
    """
    formula = find_formula(name, place)
    arguments = read_arguments(formula, typed, place, known or {})
    try:
        found = formula.outputs(**{key: argument.value for key, argument in arguments.items()})
        spreads = [
            _spread(formula, arguments, i) for i, value in enumerate(found) if not isinstance(value, str)
        ]
    except OutsideRangeError as error:
        raise _outside(place, name, str(error)) from None
    if not all(isinstance(figure, str) or math.isfinite(figure) for figure in (*found, *spreads)):
        raise _outside(place, name, "the answer is beyond all figures")
    spreads += [0.0] * (len(found) - len(spreads))
    rows = zip(formula.results, found, spreads, strict=True)
    return tuple(Answer(outcome.meaning, value, outcome.unit, u) for outcome, value, u in rows)


def _outside(place: Place, name: str, why: str) -> BadInputError:
    saw, expected = f"{name}: {why}", "a value for which the formula holds"
    return BadInputError(Problem(place, "outside-range", saw, expected))


def read_arguments(
    formula: Formula, typed: Mapping[str, str], place: Place, known: Mapping[str, Argument]
) -> dict[str, Argument]:
    """Read every argument that is not known already; put in the defaults.

    Raises:
        BadInputError: an argument is unknown, missing or unreadable.
    """
    names = [parameter.name for parameter in formula.parameters]
    unknown = [name for name in (*typed, *known) if name not in names]
    missing = [
        p.name
        for p in formula.parameters
        if p.default is None and p.name not in known and not typed.get(p.name, "").strip()
    ]
    if unknown:
        saw, expected = f"{formula.name} has no `{unknown[0]}`", f"one of {', '.join(names)}"
        raise BadInputError(Problem(place, "unknown-key", saw, expected))
    if missing:
        needed = formula.parameter(missing[0])
        saw, expected = (
            f"{formula.name} needs `{needed.name}`",
            f"{needed.meaning}, in {needed.unit or 'figures'}",
        )
        raise BadInputError(Problem(place, "missing-key", saw, expected))
    return {
        parameter.name: _argument(parameter, typed[parameter.name], place)
        if typed.get(parameter.name, "").strip()
        else Argument(parameter.default)
        for parameter in formula.parameters
    } | dict(known)


def _argument(parameter: Parameter, text: str, place: Place) -> Argument:
    if parameter.many:
        parts = text.replace(";", ", ").split(", ")
        return Argument([_value(parameter, part, place).value for part in parts if part.strip()])
    return _value(parameter, text, place)


def _value(parameter: Parameter, text: str, place: Place) -> Argument:
    """Read one value in the parameter's unit."""
    if parameter.quantity == NUMBER:
        return _plain_number(parameter, text, place)
    reading = read(text, parameter.quantity, parameter.unit, parameter.relative_to, place)
    if parameter.relative_to and reading.relative_to != parameter.relative_to:
        word = {"atmosphere": "gauge", "vacuum": "absolute"}[parameter.relative_to]
        raise BadInputError(Problem(
            place, "barometer-needed", f"`{text}` for `{parameter.name}`", f"a pressure that is {word}",
            "turn it with `absolute-pressure` or `gauge-pressure` first",
        ))  # fmt: skip
    return Argument(reading.middle, _half_width(reading) / math.sqrt(3.0))


def _half_width(reading: Reading) -> float:
    """Return half of a typed range; zero for one value."""
    half = (reading.high - reading.low) / 2.0 if reading.high > reading.low else 0.0
    return half if math.isfinite(half) else 0.0


def _plain_number(parameter: Parameter, text: str, place: Place) -> Argument:
    try:
        bare = plain(text).removesuffix(parameter.unit).strip() if parameter.unit else plain(text)
        return Argument(read_number(bare).value)
    except NumberError as error:
        saw = f"{error.saw} for `{parameter.name}`"
        expected = f"{parameter.meaning}: a number {parameter.unit}".rstrip()
        raise BadInputError(Problem(place, error.check, saw, expected, error.mend)) from None


def _spread(formula: Formula, arguments: Mapping[str, Argument], index: int) -> float:
    """Return the standard uncertainty of one result from the arguments typed as ranges."""
    loose = [name for name, argument in arguments.items() if argument.uncertainty > 0.0]
    if not loose:
        return 0.0
    fixed = {name: argument.value for name, argument in arguments.items()}

    def result(*values: float) -> float:
        return float(formula.outputs(**(fixed | dict(zip(loose, values, strict=True))))[index])

    given = [arguments[name] for name in loose]
    return propagate(
        result, [argument.value for argument in given], [argument.uncertainty for argument in given]
    )[1]
