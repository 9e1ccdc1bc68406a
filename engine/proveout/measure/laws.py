"""The laws that a series may follow, each as a change of scale that makes it a straight line."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from msgspec import Struct


class Law(Struct, frozen=True):
    """What makes the expected law a straight line: maps of stimulus and response, and the response back."""

    x: Callable[[float], float]
    y: Callable[[float], float]
    back: Callable[[float], float]


def _same(value: float) -> float:
    return value


def _root(value: float) -> float:
    return math.copysign(math.sqrt(abs(value)), value)


def _square(value: float) -> float:
    return math.copysign(value * value, value)


def _per_kelvin(celsius: float) -> float:
    return -1000.0 / max(celsius + 273.15, 1.0)


def _log(ohms: float) -> float:
    """Return ln R; a dead short counts as a thousandth of an ohm."""
    return math.log(max(ohms, 1e-3))


def _exp(value: float) -> float:
    return math.exp(min(value, 300.0))


#: ``line``: response follows the stimulus in proportion. ``thermistor``: degC against ohm, ln R over 1/T
#: (Beta). ``decay``: time against gauge pressure through a leak; its square root falls in proportion to time.
LAWS: Mapping[str, Law] = {
    "line": Law(_same, _same, _same),
    "thermistor": Law(_per_kelvin, _log, _exp),
    "decay": Law(_same, _root, _square),
}
