"""Under which conditions monitors usually run: typical figures, never a maker's own.

Every vehicle has conditions of its own, in its maker's documents; those go first. The figures here say what
to try, and why a monitor may have stayed unready in spite of much driving.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from proveout.readiness.regulation import MEMORY, QUOTED, TYPICAL, figure


@dataclass(frozen=True, slots=True)
class Condition:
    """One usual condition of a monitor: a measurable quantity within limits, or only words.

    Attributes:
        words: what to see to.
        quantity: name of what is measured, "" where only words tell: ``ambient_c``, ``start_coolant_c``,
            ``coolant_c``, ``fuel_level_pct``, ``barometer_kpa``, ``speed_kmh``, ``soak_h``.
        low, high: limits in the unit that the name of the quantity ends in; None where open.
        sure: how sure it is.
    """

    words: str
    quantity: str = ""
    low: float | None = None
    high: float | None = None
    sure: str = TYPICAL

    def holds(self, given: Mapping[str, float]) -> bool | None:
        """Say whether the condition holds, or None where that is not known."""
        value = given.get(self.quantity)
        if value is None:
            return None
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


_COLD_START = Condition("start after standing overnight", "soak_h", 6, None)
_WARM = Condition("engine at working temperature", "coolant_c", figure("warm-up-reach"), None, MEMORY)
_STEADY = Condition("some minutes of steady driving without stopping", "speed_kmh", 60, 100)

#: The usual conditions by monitor.
USUAL: Mapping[str, tuple[Condition, ...]] = {
    "evap": (
        _COLD_START,
        Condition(
            "air neither frosty nor hot",
            "ambient_c",
            figure("evap-ratio-coldest"),
            figure("evap-ratio-warmest"),
            QUOTED,
        ),
        Condition("coolant cold at the start", "start_coolant_c", 4, 35, QUOTED),
        Condition("tank neither full nor nearly empty", "fuel_level_pct", 15, 85, QUOTED),
        Condition("not high in the mountains", "barometer_kpa", 75, None, QUOTED),
        Condition("no refuelling since the start, cap not opened", sure=QUOTED),
        Condition("gentle driving without much sloshing, then some minutes of it at a steady speed"),
    ),
    "catalyst": (_WARM, _STEADY, Condition("then lift off the throttle and roll for some seconds")),
    "heated-catalyst": (_COLD_START, _WARM),
    "secondary-air": (_COLD_START, Condition("idle for some minutes right after the cold start")),
    "oxygen-sensor": (_WARM, _STEADY, Condition("several changes between acceleration and rolling")),
    "oxygen-sensor-heater": (_COLD_START, Condition("idle for some minutes right after the cold start")),
    "egr-vvt": (_WARM, _STEADY, Condition("several long, closed-throttle decelerations in gear")),
    "refrigerant": (_WARM, Condition("air conditioning on for some minutes")),
    "misfire": (Condition("ordinary driving over the whole range of speeds"),),
    "fuel-system": (_WARM, Condition("some minutes of idle and of steady driving")),
    "components": (Condition("ordinary driving"),),
    "hydrocarbon-catalyst": (_WARM, _STEADY),
    "nitrogen-oxide-aftertreatment": (_WARM, _STEADY),
    "boost-pressure": (_WARM, Condition("several strong accelerations")),
    "exhaust-gas-sensor": (_WARM, _STEADY),
    "particulate-filter": (_WARM, Condition("half an hour of fast, steady driving")),
}

#: What is said with any of these.
NOTE = "Typical conditions only: the maker's own, in the service information of the vehicle, go first."


@dataclass(frozen=True, slots=True)
class Outlook:
    """Whether a monitor can be expected to run.

    Attributes:
        monitor: its name.
        met, unmet, unknown: its usual conditions, by whether they hold.
    """

    monitor: str
    met: tuple[Condition, ...]
    unmet: tuple[Condition, ...]
    unknown: tuple[Condition, ...]


def outlook(monitor: str, given: Mapping[str, float]) -> Outlook:
    """Compare what is known of the drive with a monitor's usual conditions.

    Args:
        monitor: name, as in ``readiness``.
        given: measured quantities by the names in ``Condition.quantity``.
    """
    held: dict[bool | None, list[Condition]] = {True: [], False: [], None: []}
    for condition in USUAL.get(monitor, ()):
        held[condition.holds(given)].append(condition)
    return Outlook(monitor, tuple(held[True]), tuple(held[False]), tuple(held[None]))
