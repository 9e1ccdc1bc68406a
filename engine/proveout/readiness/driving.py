"""What a code goes through as the vehicle is driven: two trips, the lamp, the permanent code.

A pending code is stored at the first detection; it is confirmed, and the lamp lit, if the next driving cycle
in which the monitor runs finds the fault again. After three such cycles in a row that pass, the lamp goes
off; after forty warm-up cycles with it off the code is erased. A permanent code is stored with the lamp and
no tool clears it: it goes when the monitor has passed three times in a row, or, after the codes were cleared,
once, together with a trip of the least length. Figures and how sure they are: ``regulation``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from proveout.readiness.regulation import figure


@dataclass(frozen=True, slots=True)
class Cycle:
    """One driving cycle.

    Attributes:
        monitor_ran: the code's monitor ran to its end.
        fault: it found the fault.
        warm_up: the cycle counts as a warm-up (``is_warm_up``).
        full_trip: it was as long as a permanent code asks (``is_full_trip``).
    """

    monitor_ran: bool
    fault: bool = False
    warm_up: bool = True
    full_trip: bool = True


@dataclass(frozen=True, slots=True)
class Memory:
    """What the control unit remembers of one code.

    Attributes:
        pending, confirmed, permanent: whether the code is stored as that.
        lamp: whether it lights the lamp.
        passes: monitoring cycles passed in a row since the fault was last found.
        warm_ups: warm-up cycles since the lamp went off.
        cleared: codes were cleared since the fault was last found.
        tripped: a trip of full length was driven since the clear.
    """

    pending: bool = False
    confirmed: bool = False
    permanent: bool = False
    lamp: bool = False
    passes: int = 0
    warm_ups: int = 0
    cleared: bool = False
    tripped: bool = False


def is_warm_up(start_c: float, peak_c: float) -> bool:
    """Say whether the coolant's rise from ``start_c`` to ``peak_c`` (degC) makes a warm-up cycle."""
    return peak_c - start_c >= figure("warm-up-rise") and peak_c >= figure("warm-up-reach")


def is_full_trip(running_s: float, fast_s: float, idle_s: float) -> bool:
    """Say whether a trip is long enough for a permanent code to go after a clear.

    Args:
        running_s: seconds that the engine ran.
        fast_s: seconds of them at 40 km/h or more.
        idle_s: longest idle without a break, seconds.
    """
    return (
        running_s >= figure("trip-run-time")
        and fast_s >= figure("trip-fast-time")
        and idle_s >= figure("trip-idle-time")
    )


def driven(memory: Memory, cycle: Cycle) -> Memory:
    """Return what is remembered after a driving cycle."""
    if cycle.monitor_ran and cycle.fault:
        return _found(memory)
    memory = replace(memory, tripped=memory.tripped or (memory.cleared and cycle.full_trip))
    if cycle.monitor_ran:
        memory = _passed(memory)
    if memory.confirmed and not memory.lamp and cycle.warm_up:
        memory = replace(memory, warm_ups=memory.warm_ups + 1)
        if memory.warm_ups >= figure("code-erased-warm-ups"):
            memory = replace(memory, confirmed=False, warm_ups=0)
    return _permanent_gone(memory)


def cleared(memory: Memory) -> Memory:
    """Return what is remembered after a tool cleared the codes: the permanent code alone stays."""
    return Memory(permanent=memory.permanent, cleared=True)


def _found(memory: Memory) -> Memory:
    again = memory.pending or memory.confirmed
    return Memory(
        pending=True,
        confirmed=again or memory.confirmed,
        permanent=again or memory.permanent,
        lamp=again or memory.lamp,
    )


def _passed(memory: Memory) -> Memory:
    memory = replace(memory, passes=memory.passes + 1, pending=False)
    if memory.lamp and memory.passes >= figure("lamp-off-passes"):
        return replace(memory, lamp=False, warm_ups=0)
    return memory


def _permanent_gone(memory: Memory) -> Memory:
    if memory.cleared:
        gone = memory.passes >= figure("permanent-passes-after-clear") and memory.tripped
    else:
        gone = memory.passes >= figure("permanent-passes")
    return replace(memory, permanent=memory.permanent and not gone)
