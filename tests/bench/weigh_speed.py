"""How long weighing takes for so many causes in play: run it, it prints a table (milliseconds, best of five).

python tests/bench/weigh_speed.py
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers_weigh import a_cpt, a_network, told
from proveout.model.belief import Network
from proveout.weigh.doubts import sensitivity
from proveout.weigh.ledger import ledgers
from proveout.weigh.likelihoods import likelihood
from proveout.weigh.posteriors import posterior

#: (causes in play, pieces of evidence, largest set)
SIZES = [
    (10, 10, 3),
    (20, 20, 3),
    (40, 30, 3),
    (41, 30, 2),
    (80, 40, 2),
    (150, 60, 2),
    (400, 100, 2),
    (1000, 100, 1),
]


def drawn(causes: int, observables: int, at_once: int) -> Network:
    """Return a random network of observables with two abnormal states and five causes each."""
    rng = np.random.default_rng(causes)
    names = [f"c{i:04}" for i in range(causes)]
    evidence = []
    for j in range(observables):
        chosen = rng.choice(names, size=5, replace=False)
        given = {str(c): tuple((rng.dirichlet((1, 1)) * 0.9).tolist()) for c in chosen}
        cpt = a_cpt(f"x{j:03}", given, (0.01, 0.005))
        evidence.append(told(cpt, str(rng.choice(["bad", "worse", "ok", "ok"]))))
    return a_network({c: float(rng.uniform(0.001, 0.03)) for c in names}, *evidence, at_once=at_once)


def best(job: Callable[[], object]) -> float:
    """Return the shortest of five runs in milliseconds, one run having gone before."""
    job()
    runs = []
    for _ in range(5):
        start = time.perf_counter()
        job()
        runs.append(time.perf_counter() - start)
    return 1000.0 * min(runs)


def main() -> None:
    """Print the table."""
    print(
        f"{'causes':>6} {'evidence':>8} {'K':>2} {'sets':>6}"
        f" {'posterior':>9} {'ledgers':>9} {'doubts':>9} {'cpt':>9}"
    )
    for causes, observables, at_once in SIZES:
        network = drawn(causes, observables, at_once)
        answer = posterior(network)
        cpt = network.evidence[0].cpt
        times = [
            best(partial(posterior, network)),
            best(partial(ledgers, network, answer)),
            best(partial(sensitivity, network, answer)),
            best(partial(likelihood, cpt, answer.causes, answer.member)),
        ]
        print(
            f"{causes:>6} {observables:>8} {at_once:>2} {len(answer.prob):>6}", *(f"{t:9.2f}" for t in times)
        )


if __name__ == "__main__":
    main()
