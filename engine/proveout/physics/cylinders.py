"""Cylinder sealing: compression compared between cylinders, leak-down, and what altitude does to it.

The limits that the trade uses (lowest at least 75 % of the highest, leak-down under 20 %) are common practice
without a source, and are set in the book, not here.
"""

from __future__ import annotations

from collections.abc import Sequence

from proveout.physics.atmosphere import SEA_LEVEL, isa_pressure
from proveout.physics.formula import NUMBER, Answer, Formula, Parameter, gauge
from proveout.physics.formula import altitude as height
from proveout.physics.ranges import OutsideRangeError, within


def relative_compression(values: Sequence[float]) -> tuple[float, ...]:
    """Return each cylinder in percent of the highest, from gauge pressures or cranking-current peaks."""
    if len(values) < 2:
        raise OutsideRangeError("cylinders", float(len(values)), 2.0, 16.0, "values")
    highest = max(within("value", value, 0.0, 1e7) for value in values)
    if highest <= 0.0:
        raise OutsideRangeError("highest", highest, 1e-9, 1e7, "", "no cylinder compresses")
    return tuple(100.0 * value / highest for value in values)


def lowest_compression(values: Sequence[float]) -> float:
    """Return the lowest cylinder in percent of the highest."""
    return min(relative_compression(values))


def leak_down(supply: float, cylinder: float) -> float:
    """Return the leak-down in percent: the share of a regulated supply (kPa, gauge) that is lost."""
    within("supply", supply, 1.0, 2000.0, "kPa")
    within("cylinder", cylinder, 0.0, supply, "kPa", "the cylinder cannot hold more than it is fed")
    return 100.0 * (1.0 - cylinder / supply)


def compression_at(sea_level: float, altitude: float) -> float:
    """Return the cranking pressure in kPa (gauge) to expect at an altitude in m from that at sea level.

    Absolute cylinder pressure goes with the air pressure, and so does the gauge pressure.
    """
    within("sea_level", sea_level, 0.0, 6000.0, "kPa")
    return sea_level * isa_pressure(altitude) / SEA_LEVEL


FORMULAS = (
    Formula(
        "relative-compression",
        "Lowest cylinder against the highest",
        lowest_compression,
        (Parameter("values", NUMBER, "", "one figure a cylinder, all in one unit", many=True),),
        (Answer("lowest of the highest", "%"),),
        "arithmetic",
    ),
    Formula(
        "leak-down",
        "Leak-down of a cylinder",
        leak_down,
        (gauge("supply", "kPa", "regulated supply pressure"), gauge("cylinder", "kPa", "cylinder pressure")),
        (Answer("leak-down", "%"),),
        "definition",
    ),
    Formula(
        "compression-at",
        "Cranking pressure to expect at an altitude",
        compression_at,
        (gauge("sea_level", "kPa", "cranking pressure at sea level"), height()),
        (Answer("cranking pressure, gauge", "kPa"),),
        "ISO 2533",
    ),
)
