"""What shows that a repair held, stated once for each kind of code.

How a code is tested decides what its staying away is worth. A circuit is watched all the time, so a drive
tells; a two-trip monitor tells only once it has run to its end; misfires are counted, so that the counters
tell more than the code. Codes are read after the drive, never instead of it. The distance: common practice,
no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from proveout.model.case import CodeSeen
from proveout.readiness.regulation import figure
from proveout.readiness.status import CONTINUOUS as CONTINUOUS_MONITORS
from proveout.readiness.status import monitor_said

#: Kinds of code by how they are tested.
CONTINUOUS, TWO_TRIP, COUNTED = "continuous", "two-trip", "counted"

#: Misfires, of all cylinders and of the first twelve (SAE J2012, from memory).
_MISFIRES = re.compile(r"P03(?:0[0-9]|1[0-2])")

#: What each kind asks for, in a sentence about the code.
ASKS: Mapping[str, str] = {
    CONTINUOUS: "{code} is watched all the time: clear it, drive {km:g} km of every kind, then read the "
    "codes again.",
    TWO_TRIP: "{code} is set by the {monitor} monitor on two trips: clear it, drive until that monitor has "
    "run to its end, then read the codes again, the pending ones too.",
    COUNTED: "{code} counts misfires: clear it, drive {km:g} km warm and with load, then read the counters "
    "or the codes again; every counter must stand at zero.",
}


@dataclass(frozen=True, slots=True)
class Since:
    """What is known of the time since a repair.

    Attributes:
        cleared: the codes were cleared.
        read: they were read after that.
        now: those then stored, each with its status.
        driven_km: how far it was driven after clearing, km.
        counters: counters read after the drive.
        monitors: monitors that have run to their end.
    """

    cleared: bool = False
    read: bool = False
    now: Mapping[str, str] = field(default_factory=dict)
    driven_km: float = 0.0
    counters: Mapping[str, int] = field(default_factory=dict)
    monitors: frozenset[str] = frozenset()

    @property
    def far_enough(self) -> bool:
        """Whether the drive was long enough to tell."""
        return self.driven_km >= figure("proof-drive")


def kind_of(code: str, monitor: str) -> str:
    """Return the kind of a code; ``monitor`` is the readiness monitor that sets it, or ""."""
    if _MISFIRES.fullmatch(code):
        return COUNTED
    return TWO_TRIP if monitor and monitor not in CONTINUOUS_MONITORS else CONTINUOUS


def asked(code: str, monitor: str) -> str:
    """Say in a sentence what shows that a code stays away."""
    return ASKS[kind_of(code, monitor)].format(code=code, monitor=monitor, km=figure("proof-drive"))


def lacking(seen: CodeSeen, monitor: str, since: Since) -> tuple[str, ...]:
    """Say what is still missing before a code has stayed away, in sentences; none if nothing is."""
    kind, missing = kind_of(seen.code, monitor), []
    if not since.cleared and seen.status != "permanent":
        missing.append("The codes were not cleared.")
    if since.now.get(seen.code, "permanent") != "permanent":
        missing.append(f"{seen.code} is stored again.")
    missing += _undriven(seen.code, kind, monitor, since)
    missing += _unread(kind, since)
    return tuple(missing)


def _undriven(code: str, kind: str, monitor: str, since: Since) -> list[str]:
    """Say what driving a code still asks for."""
    if monitor and monitor in since.monitors:
        return []
    if kind == TWO_TRIP:
        return [f"The {monitor_said(monitor)} monitor has not run since."]
    if since.far_enough:
        return []
    asked_for, driven = figure("proof-drive"), since.driven_km
    return [f"{code} asks for a drive of {asked_for:g} km after clearing; {driven:g} are known."]


def _unread(kind: str, since: Since) -> list[str]:
    """Say what was not read after the drive, or stands there."""
    counting = {name: count for name, count in since.counters.items() if count}
    if kind == COUNTED and counting:
        return [f"The counter {name} stands at {count}." for name, count in sorted(counting.items())]
    if since.read or (kind == COUNTED and since.counters):
        return []
    return ["The codes were not read again."]


def is_counted_out(codes: Mapping[str, str], since: Since) -> bool:
    """Say whether counters at zero after a drive stand in for repeating what had shown the fault.

    Args:
        codes: those of the case, each with its monitor.
        since: what is known since the repair.
    """
    counted = any(kind_of(code, monitor) == COUNTED for code, monitor in codes.items())
    return counted and since.far_enough and bool(since.counters) and not any(since.counters.values())
