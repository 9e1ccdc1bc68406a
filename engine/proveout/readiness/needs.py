"""What must still be driven until the codes of a case are gone and its monitors have run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from proveout.model.case import CodeSeen
from proveout.readiness.enabling import Outlook, outlook
from proveout.readiness.regulation import MEMORY, QUOTED, figure
from proveout.readiness.status import monitor_said


@dataclass(frozen=True, slots=True)
class Need:
    """One thing that is still to come.

    Attributes:
        about: the code or monitor it is about.
        what: what must happen, in a sentence.
        sure: how sure that is.
        outlook: the monitor's usual conditions against what is known of the drive; None for codes.
    """

    about: str
    what: str
    sure: str
    outlook: Outlook | None = None


def needs(
    codes: Sequence[CodeSeen],
    monitor_of: Mapping[str, str],
    unready: Sequence[str],
    cleared: bool,
    given: Mapping[str, float] | None = None,
) -> tuple[Need, ...]:
    """List what is still to come, codes first.

    Args:
        codes: as read last, each with its status.
        monitor_of: code to the readiness monitor that sets it; "" or missing where it is continuous.
        unready: monitors that have not completed.
        cleared: whether a tool cleared the codes since the fault was last found.
        given: what is known of the coming drive, by the names in ``enabling.Condition.quantity``.
    """
    found = [_of_code(code, monitor_of.get(code.code, ""), cleared) for code in codes]
    own = {monitor_of.get(code.code, "") for code in codes}
    for monitor in sorted(unready, key=lambda name: (name not in own, unready.index(name))):
        what = f"The {monitor_said(monitor)} monitor must run to its end."
        found.append(Need(monitor, what, MEMORY, outlook(monitor, given or {})))
    return tuple(found)


def _of_code(code: CodeSeen, monitor: str, cleared: bool) -> Need:
    run = f"the {monitor_said(monitor)} monitor" if monitor else "its continuous monitor"
    if code.status == "pending":
        what = f"{code.code} is pending: on the next drive in which {run} runs it either confirms or goes."
        return Need(code.code, what, MEMORY)
    if code.status == "permanent":
        return Need(code.code, _of_permanent(code.code, run, cleared), QUOTED)
    passes, warm_ups = figure("lamp-off-passes"), figure("code-erased-warm-ups")
    what = (
        f"{code.code} is confirmed: after the repair, clear it, or drive until {run} has passed "
        f"{passes:g} times in a row; the lamp then goes off, and the code after {warm_ups:g} warm-ups more."
    )
    return Need(code.code, what, QUOTED)


def _of_permanent(code: str, run: str, cleared: bool) -> str:
    stays = f"{code} is permanent: no tool clears it; "
    if not cleared:
        passes = figure("permanent-passes")
        return f"{stays}it goes when {run} has passed {passes:g} times in a row."
    minutes, fast, speed = (
        figure("trip-run-time") / 60,
        figure("trip-fast-time") / 60,
        figure("trip-fast-speed"),
    )
    return (
        f"{stays}it goes when {run} has passed once and one trip had "
        f"{minutes:g} min of running, {fast:g} min of them at {speed:g} km/h or more, "
        f"and {figure('trip-idle-time'):g} s of unbroken idle."
    )
