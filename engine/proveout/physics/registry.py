"""Every formula of this room that a user can call by name."""

from __future__ import annotations

from collections.abc import Mapping

from proveout.physics import (
    air,
    atmosphere,
    battery,
    circuits,
    cooling,
    cylinders,
    fuel,
    leak,
    oxygen,
    sensors,
    thermistor,
    wire,
)
from proveout.physics.formula import Formula

_THEMES = (
    atmosphere,
    cooling,
    sensors,
    thermistor,
    oxygen,
    circuits,
    wire,
    leak,
    air,
    fuel,
    cylinders,
    battery,
)

#: Formulas by name, theme after theme.
FORMULAS: Mapping[str, Formula] = {formula.name: formula for theme in _THEMES for formula in theme.FORMULAS}
