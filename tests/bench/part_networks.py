"""Exact posteriors of the same networks against pyagrum and pgmpy, each by its fastest exact method, warm.

The networks are random ones of up to twelve causes of which all sets are allowed, so that all three answer the
same question; models are built and compiled before the clock starts. Ours builds everything anew each time.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

import pyagrum
from pgmpy.factors.discrete import TabularCPD
from pgmpy.inference import BeliefPropagation, VariableElimination
from pgmpy.models import DiscreteBayesianNetwork

from helpers_weigh import a_network, chances, random_network, told
from measure import Row, give
from proveout.model.belief import Network
from proveout.weigh import posterior

Answer = dict[str, float]
SIZES = [(4, 6), (6, 8), (8, 10), (10, 10), (12, 10)]
GUM: Any = pyagrum


def main(repeats: int) -> None:
    """Measure and print the rows."""
    ratios: dict[str, list[float]] = {}
    worst = 0.0
    for causes, observables in SIZES:
        network = _with_plain_evidence(random_network(7 * causes, causes, observables))
        ours, answer = _best(lambda network=network: posterior(network).confidence(), repeats)
        for name, methods in (("pyagrum", _pyagrum(network)), ("pgmpy", _pgmpy(network))):
            timed = [_best(method, repeats) for method in methods]
            ratios.setdefault(name, []).append(min(seconds for seconds, _ in timed) / ours)
            worst = max(worst, *(abs(came[c] - answer[c]) for _, came in timed for c in answer))
    assert worst < 1e-9, worst
    of = f"on {len(SIZES)} networks of {SIZES[0][0]} to {SIZES[-1][0]} causes"
    give(
        [
            *(
                Row(
                    f"posterior {of}: time of {name} to ours, median (least to most)",
                    f"{statistics.median(r):.0f} × ({min(r):.0f} to {max(r):.0f})",
                    f"at least {least} ×",
                )
                for (name, r), least in zip(ratios.items(), (5, 100), strict=True)
            ),
            Row("largest difference of any confidence between the three", f"{worst:.0e}", "1e-9"),
        ]
    )


def _with_plain_evidence(network: Network) -> Network:
    """Return a network of which each observable has the state that was likeliest."""
    plain = [told(e.table, max(e.weights, key=lambda pair: pair[1])[0]) for e in network.evidence]
    return a_network(dict(network.priors), *plain, at_once=len(network.priors))


def _best(job: Callable[[], Answer], repeats: int) -> tuple[float, Answer]:
    """Return the shortest time of a job, one run having gone before, and its answer."""
    answer, times = job(), []
    for _ in range(repeats):
        began = time.perf_counter()
        job()
        times.append(time.perf_counter() - began)
    return min(times), answer


def _patterns(network: Network, table: Any) -> tuple[list[str], list[list[float]]]:
    """Return the causes that an observable answers to, and its chances for each set of them, the last fastest."""
    parents = [cause for cause in network.priors if cause in table.given]
    rows = []
    for pattern in range(2 ** len(parents)):
        there = [c for i, c in enumerate(reversed(parents)) if pattern >> i & 1]
        row = chances(table, there)
        rows.append([row[label] for label in ("", *table.states)])
    return parents, rows


def _labels(table: Any) -> list[str]:
    return ["normal", *table.states]


def _state(table: Any, state: str) -> str:
    return state if state in table.states else "normal"


def _pyagrum(network: Network) -> list[Callable[[], Answer]]:
    net = GUM.BayesNet()
    for cause, prior in network.priors.items():
        net.add(GUM.LabelizedVariable(cause, cause, 2))
        net.cpt(cause).fillWith([1.0 - prior, prior])
    for evidence in network.evidence:
        table = evidence.table
        name, (parents, rows) = table.observable.key, _patterns(network, table)
        net.add(GUM.LabelizedVariable(name, name, _labels(table)))
        for cause in parents:
            net.addArc(cause, name)
        for pattern, row in enumerate(rows):
            there = {c: pattern >> i & 1 for i, c in enumerate(reversed(parents))}
            net.cpt(name)[there] = row
    seen = {e.table.observable.key: _state(e.table, e.weights[0][0]) for e in network.evidence}

    def by(engine: Any) -> Callable[[], Answer]:
        def answer() -> Answer:
            engine.setEvidence(seen)
            engine.makeInference()
            return {cause: float(engine.posterior(cause)[1]) for cause in network.priors}

        return answer

    return [
        by(kind(net)) for kind in (GUM.LazyPropagation, GUM.ShaferShenoyInference, GUM.VariableElimination)
    ]


def _pgmpy(network: Network) -> list[Callable[[], Answer]]:
    model = DiscreteBayesianNetwork()
    model.add_nodes_from(network.priors)
    tables = [TabularCPD(c, 2, [[1.0 - p], [p]], state_names={c: [0, 1]}) for c, p in network.priors.items()]
    for evidence in network.evidence:
        table = evidence.table
        name, (parents, rows) = table.observable.key, _patterns(network, table)
        model.add_node(name)
        model.add_edges_from((cause, name) for cause in parents)
        names = {name: _labels(table), **{cause: [0, 1] for cause in parents}}
        columns = [list(column) for column in zip(*rows, strict=True)]
        tables.append(TabularCPD(name, len(columns), columns, parents, [2] * len(parents), state_names=names))
    model.add_cpds(*tables)
    seen = {e.table.observable.key: _state(e.table, e.weights[0][0]) for e in network.evidence}

    def by(engine: Any) -> Callable[[], Answer]:
        def answer() -> Answer:
            found = engine.query(list(network.priors), seen, joint=False, show_progress=False)
            return {cause: float(found[cause].values[1]) for cause in network.priors}

        return answer

    methods = [by(VariableElimination(model))]
    with suppress(ValueError):  # it cannot triangulate a network that falls apart
        by_propagation = BeliefPropagation(model)
        by_propagation.calibrate()
        methods.append(by(by_propagation))
    return methods


if __name__ == "__main__":
    main(int(sys.argv[1]))
