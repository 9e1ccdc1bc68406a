"""Whole processes and pairs of them: processor seconds and peak memory, as ratios.

The peak that the system gives for a process begins with that of the one that started it, so whoever measures
memory must stay small: import nothing large beside this.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
#: The command line as an installed program starts it.
PROVEOUT = (sys.executable, "-c", "from proveout.cli.entry import entry; entry()")


@dataclass(frozen=True)
class Spent:
    """What a process took: processor seconds (its children's included), peak MiB, and its exit code."""

    seconds: float
    peak: float
    code: int


@dataclass(frozen=True)
class Row:
    """One line of a table: what was measured, what came, and what is allowed ("" where nothing is)."""

    what: str
    came: str
    allowed: str = ""


def spent(command: Sequence[str], environment: Mapping[str, str] | None = None) -> Spent:
    """Return what a process took, its output thrown away.

    It may keep its bytecode, as an installed program does: the libraries of the baseline have theirs.
    """
    installed = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    process = subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env={**installed, **(environment or {})},
    )
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    peak = usage.ru_maxrss / (1024 if sys.platform != "darwin" else 1024 * 1024)
    return Spent(usage.ru_utime + usage.ru_stime, peak, process.returncode)


def paired(
    command: Sequence[str],
    baseline: Sequence[str],
    runs: int,
    environment: Mapping[str, str] | None = None,
    baseline_environment: Mapping[str, str] | None = None,
) -> tuple[float, float]:
    """Return the median ratios of time and peak memory to a baseline run in turns, after one run of each."""
    both = [
        (spent(command, environment), spent(baseline, baseline_environment or environment))
        for _ in range(runs + 1)
    ][1:]
    assert all(one.code == other.code == 0 for one, other in both), (command, both)
    return (
        statistics.median(one.seconds / other.seconds for one, other in both),
        statistics.median(one.peak / other.peak for one, other in both),
    )


def give(rows: Sequence[Row]) -> None:
    """Print the rows of a part for ``figures.py`` to read."""
    print(json.dumps([asdict(row) for row in rows]))
