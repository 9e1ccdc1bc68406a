"""Air into the engine: speed-density flow and volumetric efficiency.

Source: ideal gas law with R = 287.05 J/(kg K) for dry air (ISO 2533); a four-stroke engine draws its
displacement every second turn.
"""

from __future__ import annotations

from proveout.physics.formula import (
    Answer,
    Formula,
    Parameter,
    absolute,
    celsius,
    grams_per_second,
    litres,
    percent,
)
from proveout.physics.ranges import within

GAS_CONSTANT = 287.05  # J/(kg K), dry air
_ZERO_C = 273.15


def _full_flow(displacement: float, rpm: float, pressure: float, temperature: float) -> float:
    """Return the flow in g/s at a volumetric efficiency of one."""
    within("displacement", displacement, 0.05, 20.0, "L")
    within("rpm", rpm, 50.0, 15000.0, "rpm")
    within("pressure", pressure, 5.0, 400.0, "kPa")
    density = pressure / (GAS_CONSTANT * (within("temperature", temperature, -60.0, 200.0, "degC") + _ZERO_C))
    return displacement * rpm / 120.0 * density * 1000.0


def speed_density(
    displacement: float, rpm: float, pressure: float, temperature: float, efficiency: float = 80.0
) -> float:
    """Return the air flow in g/s of a four-stroke engine.

    Args:
        displacement: L.
        rpm: turns a minute.
        pressure: absolute manifold pressure in kPa.
        temperature: of the air in the manifold in degC.
        efficiency: volumetric efficiency in percent; 75 to 90 is usual unboosted (common practice).
    """
    within("efficiency", efficiency, 10.0, 130.0, "%")
    return _full_flow(displacement, rpm, pressure, temperature) * efficiency / 100.0


def volumetric_efficiency(
    flow: float, displacement: float, rpm: float, pressure: float, temperature: float
) -> float:
    """Return the volumetric efficiency in percent that a measured flow in g/s means; 100 kPa at full load.

    Far below 75 at wide-open throttle tells of an under-reading air meter or a choked exhaust.
    """
    return (
        100.0
        * within("flow", flow, 0.0, 2000.0, "g/s")
        / _full_flow(displacement, rpm, pressure, temperature)
    )


_SOURCE = "ideal gas; ISO 2533"
_ENGINE = (
    litres("displacement", "engine displacement"),
    Parameter("rpm", "rotation", "rpm", "engine speed"),
    absolute("pressure", "kPa", "manifold pressure"),
    celsius("temperature", "of the air in the manifold"),
)

FORMULAS = (
    Formula(
        "air-flow",
        "Air flow by speed and density",
        speed_density,
        (*_ENGINE, percent("efficiency", "volumetric efficiency", 80.0)),
        (Answer("air flow", "g/s"),),
        _SOURCE,
    ),
    Formula(
        "volumetric-efficiency",
        "Volumetric efficiency from a measured flow",
        volumetric_efficiency,
        (grams_per_second("flow", "measured air flow"), *_ENGINE),
        (Answer("volumetric efficiency", "%"),),
        _SOURCE,
    ),
)
