"""Exact expected cost of policies on random problems: python tests/bench/planning.py [problems] [seed].

Problems have 2 to 6 causes, 2 to 6 inspections with false alarms and misses, sets of up to 3 causes at once,
shared access, inspections that must come first or before buying, tools not at hand, and handing over.
Every figure is summed over all branches; nothing is sampled but the problems. The optimum keeps to the
standard of proof, as all others do but "replace the likeliest part first": where parts are cheap, as in many
of these problems, guessing can cost less than proving; tests/bench/part_swapping.py asks the shipped book.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from helpers_dp import cheapest_check, follow, likeliest_part, most_information, optimum, ours, random_job

POLICIES = {
    "this planner": ours,
    "replace the likeliest part first": likeliest_part,
    "cheapest inspection first": cheapest_check,
    "most information per cost": most_information,
}


def main(problems: int, first: int) -> None:
    """Print the table."""
    jobs = [random_job(seed) for seed in range(first, first + problems)]
    began = time.perf_counter()
    best = [optimum(job, start) for job, start in jobs]
    print(f"{problems} problems from seed {first}; optimum found in {time.perf_counter() - began:.1f} s\n")
    print(f"{'policy':<34}{'mean cost':>10}{'to optimum':>12}{'mean ratio':>12}{'worst':>8}{'seconds':>9}")
    refer = [float(start.weight[0] @ job.refer) for job, start in jobs]
    _row("optimum", best, best, 0.0)
    for name, policy in POLICIES.items():
        began = time.perf_counter()
        cost = [follow(job, start, policy) for job, start in jobs]
        _row(name, cost, best, time.perf_counter() - began)
    _row("hand over at once", refer, best, 0.0)


def _row(name: str, cost: list[float], best: list[float], seconds: float) -> None:
    ratio = [c / b for c, b in zip(cost, best, strict=True)]
    mean = sum(cost) / len(cost)
    print(
        f"{name:<34}{mean:>10.2f}{sum(cost) / sum(best):>12.4f}"
        f"{sum(ratio) / len(ratio):>12.4f}{max(ratio):>8.3f}{seconds:>9.1f}"
    )


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    main(*(given + [400, 0][len(given) :]))
