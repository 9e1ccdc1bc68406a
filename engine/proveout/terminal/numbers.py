"""Numbers on the command line, read as readings are: 3,50 and 150,000 and 93k mi."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from proveout.measure.distance import distance, kilometres

if TYPE_CHECKING:
    _Type = click.ParamType[float]
else:  # generic from click 8.2 on only
    _Type = click.ParamType


class _Number(_Type):
    """A number with decimal point or comma between two bounds."""

    name = "number"

    def __init__(self, low: float, high: float) -> None:
        self.low, self.high = low, high

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        if isinstance(value, float):
            return value
        from proveout.measure.number import NumberError, read_number

        try:
            found = read_number(str(value)).value
        except NumberError as error:
            self.fail(f"{error.saw}; {error.mend}", param, ctx)
        if not self.low <= found <= self.high:
            self.fail(f"{value} does not lie within {self.low:g} to {self.high:g}", param, ctx)
        return found


class _Distance(_Type):
    """A distance in km, or in miles where it says so; becomes km."""

    name = "distance"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        if isinstance(value, float):
            return value
        try:
            return kilometres(*distance(str(value)))
        except ValueError as error:
            self.fail(str(error), param, ctx)


def number(low: float, high: float) -> click.ParamType[float]:
    """Return the type of an option that takes a number within bounds."""
    return _Number(low, high)


DISTANCE: click.ParamType[float] = _Distance()
