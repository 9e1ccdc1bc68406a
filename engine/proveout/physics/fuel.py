"""Fuel trim arithmetic, mixture ratios and stoichiometry.

Positive trim adds fuel: the engine measured lean. Trims that a scan shows are percent of the base fuelling.
"""

from __future__ import annotations

from proveout.physics.formula import Answer, Formula, grams_per_second, number, percent
from proveout.physics.ranges import within

#: Molar masses in g/mol, and air as 28.96 g/mol with 20.95 % oxygen.
_CARBON, _HYDROGEN, _OXYGEN = 12.011, 1.008, 15.999
_AIR_PER_OXYGEN = 28.96 / 0.2095

#: Densities in kg/L for blends, from memory.
_PETROL_DENSITY, _ETHANOL_DENSITY = 0.745, 0.789


def _trim(name: str, value: float) -> float:
    return within(name, value, -100.0, 100.0, "%")


def total_trim(short: float, long: float) -> float:
    """Return short plus long trim in percent: the figure the trade judges by (common practice, no source)."""
    return _trim("short", short) + _trim("long", long)


def fuel_factor(short: float, long: float) -> float:
    """Return the factor on the base fuelling when both trims multiply, as they do in the module."""
    return (1.0 + _trim("short", short) / 100.0) * (1.0 + _trim("long", long) / 100.0)


def trim_from_leak(leak: float, metered: float) -> float:
    """Return the trim in percent that unmetered air of g/s needs beside a metered flow of g/s.

    The same leak needs much at idle and little at speed; a weak fuel supply does the reverse.
    """
    within("leak", leak, 0.0, 500.0, "g/s")
    return 100.0 * leak / within("metered", metered, 0.1, 1000.0, "g/s")


def leak_from_trims(
    trim_low: float, flow_low: float, trim_high: float, flow_high: float
) -> tuple[float, float]:
    """Return (unmetered air in g/s, trim in percent that does not depend on flow) from two operating points.

    Total trim = base + 100 leak / metered flow, at two metered flows in g/s that differ by half at least.
    """
    within("flow_low", flow_low, 0.1, 1000.0, "g/s")
    within("flow_high", flow_high, 1.5 * flow_low, 1000.0, "g/s", "the flows must differ by half at least")
    leak = (
        (_trim("trim_low", trim_low) - _trim("trim_high", trim_high))
        / (1.0 / flow_low - 1.0 / flow_high)
        / 100.0
    )
    return leak, trim_low - 100.0 * leak / flow_low


def lambda_from_ratio(ratio: float, stoichiometric: float = 14.7) -> float:
    """Return lambda (above 1 is lean) of an air-fuel ratio by mass."""
    within("stoichiometric", stoichiometric, 4.0, 40.0)
    return within("ratio", ratio, 1.0, 100.0) / stoichiometric


def equivalence_ratio(air_factor: float) -> float:
    """Return the equivalence ratio of a lambda: one over it (above 1 is rich)."""
    return 1.0 / within("lambda", air_factor, 0.1, 10.0)


def stoichiometric_ratio(hydrogen: float, oxygen: float = 0.0) -> float:
    """Return kg of air that 1 kg of fuel CHyOz needs, y and z per carbon atom (complete combustion)."""
    within("hydrogen", hydrogen, 0.0, 4.0)
    within("oxygen", oxygen, 0.0, 2.0)
    needed = 1.0 + hydrogen / 4.0 - oxygen / 2.0
    mass = _CARBON + _HYDROGEN * hydrogen + _OXYGEN * oxygen
    return within("needed oxygen", needed, 0.1, 3.0) * _AIR_PER_OXYGEN / mass


def blend_ratio(ethanol: float) -> float:
    """Return the stoichiometric ratio of petrol (CH1.85) with a share of ethanol in percent by volume."""
    share = within("ethanol", ethanol, 0.0, 100.0, "%") / 100.0
    mass = share * _ETHANOL_DENSITY, (1.0 - share) * _PETROL_DENSITY
    air = mass[0] * stoichiometric_ratio(3.0, 0.5) + mass[1] * stoichiometric_ratio(1.85)
    return air / sum(mass)


_SHORT, _LONG = percent("short", "short trim"), percent("long", "long trim")
_BURNT = "complete combustion"
_RATIO = (Answer("air-fuel ratio by mass"),)

FORMULAS = (
    Formula(
        "total-trim",
        "Short and long trim together",
        total_trim,
        (_SHORT, _LONG),
        (Answer("total trim", "%"),),
        "common practice, no source",
    ),
    Formula(
        "fuel-factor",
        "Factor on the fuel from both trims",
        fuel_factor,
        (_SHORT, _LONG),
        (Answer("factor"),),
        "arithmetic",
    ),
    Formula(
        "trim-from-leak",
        "Trim that unmetered air needs",
        trim_from_leak,
        (grams_per_second("leak", "unmetered air"), grams_per_second("metered", "metered air")),
        (Answer("trim", "%"),),
        "arithmetic",
    ),
    Formula(
        "leak-from-trims",
        "Unmetered air from trims at two flows",
        leak_from_trims,
        (
            percent("trim_low", "total trim at the low flow"),
            grams_per_second("flow_low", "low metered flow, such as idle"),
            percent("trim_high", "total trim at the high flow"),
            grams_per_second("flow_high", "high metered flow, such as 2500 rpm"),
        ),
        (Answer("unmetered air", "g/s"), Answer("trim that stays", "%")),
        "arithmetic",
    ),
    Formula(
        "lambda",
        "Lambda of an air-fuel ratio",
        lambda_from_ratio,
        (
            number("ratio", "", "air-fuel ratio by mass"),
            number("stoichiometric", "", "stoichiometric ratio of the fuel", 14.7),
        ),
        (Answer("lambda"),),
        "definition",
    ),
    Formula(
        "equivalence-ratio",
        "Equivalence ratio of a lambda",
        equivalence_ratio,
        (number("air_factor", "", "lambda"),),
        (Answer("equivalence ratio"),),
        "definition",
    ),
    Formula(
        "stoichiometric-ratio",
        "Air that a fuel CHyOz needs",
        stoichiometric_ratio,
        (
            number("hydrogen", "", "hydrogen atoms per carbon atom"),
            number("oxygen", "", "oxygen atoms per carbon atom", 0.0),
        ),
        _RATIO,
        _BURNT,
    ),
    Formula(
        "blend-ratio",
        "Stoichiometric ratio of petrol with ethanol",
        blend_ratio,
        (percent("ethanol", "ethanol by volume"),),
        _RATIO,
        f"{_BURNT}; densities from memory",
    ),
)
