"""Copper wire: diameter and resistance by American wire gauge, and the voltage lost in it.

Sources: ASTM B258 for the gauge, d = 0.127 mm x 92^((36 - n)/39) (formula from memory); International
Annealed Copper Standard, 0.017241 ohm mm2/m at 20 degC, +0.393 % per kelvin. Stranded wire of the same gauge
runs some 2 to 4 % higher: pass ``stranding``.
"""

from __future__ import annotations

import math

from proveout.physics.formula import Answer, Formula, Parameter, celsius, number
from proveout.physics.ranges import within

COPPER = 0.017241  # ohm mm2/m at 20 degC, IACS
COPPER_TEMPERATURE = 0.00393  # 1/K at 20 degC, IACS
STRANDED = 1.04  # from a printed wire table: 7 strands of 18 AWG


def wire_diameter(gauge: float) -> float:
    """Return the diameter in mm of solid wire of a gauge from -3 (4/0) to 40."""
    return float(0.127 * 92.0 ** ((36.0 - within("gauge", gauge, -3.0, 40.0, "AWG")) / 39.0))


def wire_area(gauge: float) -> float:
    """Return the cross-section in mm2 of solid wire of a gauge from -3 (4/0) to 40."""
    return math.pi / 4.0 * wire_diameter(gauge) ** 2


def wire_resistance(gauge: float, temperature: float = 20.0, stranding: float = 1.0) -> float:
    """Return the resistance in ohm per metre of copper wire at -60 to 200 degC."""
    return area_resistance(wire_area(gauge), temperature, stranding)


def area_resistance(area: float, temperature: float = 20.0, stranding: float = 1.0) -> float:
    """Return the resistance in ohm per metre of copper of a cross-section in mm2 at -60 to 200 degC."""
    within("area", area, 1e-3, 1000.0, "mm2")
    within("temperature", temperature, -60.0, 200.0, "degC")
    within("stranding", stranding, 1.0, 1.1)
    return COPPER * stranding * (1.0 + COPPER_TEMPERATURE * (temperature - 20.0)) / area


def wire_drop(
    current: float, length: float, gauge: float, temperature: float = 20.0, stranding: float = 1.0
) -> float:
    """Return the drop in V along a wire: current in A, length of wire in m (there and back: twice)."""
    within("current", current, 0.0, 2000.0, "A")
    within("length", length, 0.0, 100.0, "m")
    return current * length * wire_resistance(gauge, temperature, stranding)


_SOURCE = "ASTM B258 (formula from memory), IACS copper"
_GAUGE = number("gauge", "AWG", "wire gauge; 0, -1, -2, -3 for 1/0 to 4/0")
_WIRE = (
    _GAUGE,
    celsius("temperature", "of the wire", 20.0),
    number("stranding", "", f"1 for solid wire, about {STRANDED} for stranded", 1.0),
)

FORMULAS = (
    Formula(
        "wire-drop",
        "Voltage lost along a wire",
        wire_drop,
        (
            Parameter("current", "current", "A", "current that flows"),
            Parameter("length", "length", "m", "length of wire; there and back counts twice"),
            *_WIRE,
        ),
        (Answer("drop", "V"),),
        _SOURCE,
    ),
    Formula(
        "wire-resistance",
        "Resistance of a metre of wire",
        wire_resistance,
        _WIRE,
        (Answer("resistance of a metre", "ohm"),),
        _SOURCE,
    ),
    Formula(
        "area-resistance",
        "Resistance of a metre of wire by its cross-section",
        area_resistance,
        (Parameter("area", "area", "mm2", "cross-section of the copper"), *_WIRE[1:]),
        (Answer("resistance of a metre", "ohm"),),
        "IACS copper",
    ),
    Formula(
        "wire-diameter",
        "Diameter of a wire gauge",
        wire_diameter,
        (_GAUGE,),
        (Answer("diameter", "mm"),),
        _SOURCE,
    ),
)
