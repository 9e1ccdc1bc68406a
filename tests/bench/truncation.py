"""How much is lost by looking at sets of at most K causes only: run it, it prints a table.

Random two-layer networks of 12 causes with base rates as in a book (2 to 30 per 1000). In each, 1 to 4 true
causes are drawn, 10 observables are sampled from the model, and the truncated posterior is held against the
one over all 4096 sets. Errors are those of the worst confidence in a network.

    python tests/bench/truncation.py [networks]
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers_weigh import a_cpt, a_network, chances, told
from proveout.model.belief import Evidence, Network
from proveout.weigh.posteriors import leading, posterior

CAUSES = tuple(f"c{i:02}" for i in range(12))
OBSERVABLES = 10


def sampled(rng: np.random.Generator, present: list[str]) -> Network:
    """Return a random network whose observations are drawn with these causes present."""
    priors = {c: float(np.exp(rng.uniform(np.log(0.002), np.log(0.03)))) for c in CAUSES}
    return a_network(priors, *[_observed(rng, f"x{j:02}", present) for j in range(OBSERVABLES)])


def _observed(rng: np.random.Generator, key: str, present: list[str]) -> Evidence:
    """Return one observable of two states that answers to one to five causes, as it came out."""
    parents = rng.choice(CAUSES, size=int(rng.integers(1, 6)), replace=False)
    given = {str(c): tuple((rng.dirichlet((1, 1)) * rng.uniform(0.1, 0.97)).tolist()) for c in parents}
    cpt = a_cpt(key, given, tuple(rng.uniform(0.0005, 0.03, 2).tolist()))
    by_state = chances(cpt, present)
    return told(cpt, str(rng.choice(list(by_state), p=list(by_state.values()))) or "ok")


def errors(network: Network, at_once: int) -> tuple[float, bool]:
    """Return the largest error of a confidence and whether another cause leads."""
    full = posterior(network)
    short = posterior(a_network(network.priors, *network.evidence, at_once=at_once))
    gap = max(abs(full.confidence()[c] - p) for c, p in short.confidence().items())
    return gap, leading(full)[0] != leading(short)[0]


def main(networks: int) -> None:
    """Print, for each number of true causes and each K, the errors over so many networks."""
    print(
        f"{networks} networks a line, {len(CAUSES)} causes, {OBSERVABLES} observables; "
        "error of the worst confidence"
    )
    print(f"{'true causes':>11} {'K':>2} {'median':>9} {'95 %':>9} {'largest':>9} {'other leader':>13}")
    for true_causes in (1, 2, 3, 4):
        rng = np.random.default_rng(true_causes)
        drawn = [
            sampled(rng, rng.choice(CAUSES, size=true_causes, replace=False).tolist())
            for _ in range(networks)
        ]
        for at_once in (1, 2, 3):
            found = [errors(network, at_once) for network in drawn]
            gaps = np.array([gap for gap, _ in found])
            other = sum(changed for _, changed in found) / networks
            median, high = np.quantile(gaps, [0.5, 0.95])
            print(f"{true_causes:>11} {at_once:>2} {median:9.5f} {high:9.5f} {gaps.max():9.5f} {other:12.1%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
