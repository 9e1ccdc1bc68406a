"""What a user can call by name: a formula with its parameters, results and source.

Each theme lists its own formulas beside the functions; ``registry`` gathers them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

#: The quantity of parameters that are plain numbers.
NUMBER = "number"


@dataclass(frozen=True, slots=True)
class Parameter:
    """An argument of a formula.

    Attributes:
        name: keyword of the function.
        quantity: what it is, such as ``pressure``; ``number`` for plain numbers.
        unit: unit in which the function takes it.
        meaning: in a few words.
        default: value when it is left out; None where it must be given.
        relative_to: for pressures, ``atmosphere`` (gauge) or ``vacuum`` (absolute).
        many: it takes a list.
    """

    name: str
    quantity: str
    unit: str
    meaning: str
    default: float | None = None
    relative_to: str = ""
    many: bool = False


@dataclass(frozen=True, slots=True)
class Answer:
    """One result: what it is and its unit (empty for a word)."""

    meaning: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula that can be called by name.

    ``function`` takes the parameters as keywords (one that takes a list: as a sequence) and gives a float,
    a word, or a tuple of floats in the order of ``results``; it raises ``OutsideRangeError``.
    """

    name: str
    title: str
    function: Callable[..., Any]
    parameters: tuple[Parameter, ...]
    results: tuple[Answer, ...]
    source: str

    def parameter(self, name: str) -> Parameter:
        """Return the parameter of that name.

        Raises:
            KeyError: there is none.
        """
        for parameter in self.parameters:
            if parameter.name == name:
                return parameter
        raise KeyError(name)

    def outputs(self, **arguments: Any) -> tuple[float | str, ...]:
        """Call the function and give its results as a tuple, in order.

        Raises:
            OutsideRangeError: an argument lies where the formula does not hold.
        """
        found = self.function(**arguments)
        return found if isinstance(found, tuple) else (found,)


def gauge(name: str, unit: str, meaning: str, default: float | None = None) -> Parameter:
    """Return a parameter for a pressure counted from the air around."""
    return Parameter(name, "pressure", unit, meaning, default, "atmosphere")


def absolute(name: str, unit: str, meaning: str, default: float | None = None) -> Parameter:
    """Return a parameter for a pressure counted from full vacuum."""
    return Parameter(name, "pressure", unit, meaning, default, "vacuum")


def altitude(default: float | None = None) -> Parameter:
    """Return the parameter for a height above the sea."""
    return Parameter("altitude", "length", "m", "height above the sea", default)


def volts(name: str, meaning: str, default: float | None = None) -> Parameter:
    """Return a parameter for a voltage in V."""
    return Parameter(name, "voltage", "V", meaning, default)


def ohms(name: str, meaning: str, default: float | None = None) -> Parameter:
    """Return a parameter for a resistance in ohm."""
    return Parameter(name, "resistance", "ohm", meaning, default)


def celsius(name: str, meaning: str, default: float | None = None) -> Parameter:
    """Return a parameter for a temperature in degC."""
    return Parameter(name, "temperature", "degC", meaning, default)


def seconds(name: str, meaning: str) -> Parameter:
    """Return a parameter for a time in s."""
    return Parameter(name, "time", "s", meaning)


def litres(name: str, meaning: str, default: float | None = None) -> Parameter:
    """Return a parameter for a volume in L."""
    return Parameter(name, "volume", "L", meaning, default)


def millimetres(name: str, meaning: str) -> Parameter:
    """Return a parameter for a length in mm."""
    return Parameter(name, "length", "mm", meaning)


def grams_per_second(name: str, meaning: str) -> Parameter:
    """Return a parameter for a mass flow in g/s."""
    return Parameter(name, "mass flow", "g/s", meaning)


def percent(name: str, meaning: str, default: float | None = None) -> Parameter:
    """Return a parameter in percent."""
    return Parameter(name, "ratio", "%", meaning, default)


def number(name: str, unit: str, meaning: str, default: float | None = None) -> Parameter:
    """Return a parameter that is a plain number; the unit is only told."""
    return Parameter(name, NUMBER, unit, meaning, default)
