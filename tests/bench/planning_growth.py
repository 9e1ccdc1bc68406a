"""How the time of one choice grows with causes and inspections: python tests/bench/planning_growth.py.

Random problems of single causes and, up to 20 causes, all pairs. Times are milliseconds of processor time,
the mean over eight problems of the best of two.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from helpers_dp import random_job
from proveout.plan.lookahead import choose

CAUSES, CHECKS = (5, 10, 20, 40), (10, 20, 40, 80)


def milliseconds(causes: int, checks: int) -> float:
    """Return the time of one choice."""
    total = 0.0
    for seed in range(8):
        problem, state = random_job(seed, causes=causes, checks=checks, at_once=2 if causes <= 20 else 1)
        times = []
        for _ in range(2):
            begun = time.process_time()
            choose(problem, state)
            times.append(time.process_time() - begun)
        total += min(times)
    return 1000.0 * total / 8


def main() -> None:
    """Print the table."""
    print(f"{'causes':>8}" + "".join(f"{n:>6} checks" for n in CHECKS))
    for causes in CAUSES:
        row = [milliseconds(causes, max(checks, causes)) for checks in CHECKS]
        print(f"{causes:>8}" + "".join(f"{value:>13.1f}" for value in row), flush=True)
    rise = np.log(milliseconds(20, 80) / milliseconds(20, 20)) / np.log(4.0)
    print(f"from 20 to 80 checks at 20 causes the time rises as their number to the power of {rise:.2f}")


if __name__ == "__main__":
    main()
