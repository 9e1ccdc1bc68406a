"""Exact posteriors of the same networks against pyagrum and pgmpy, each by its fastest exact method, warm.

Where no more than three causes may be there at once, as in a case, the random networks have as many causes as
the tenth, the 25th and nearly the 50th of 100 shipped cases, and the others get variables that count them, so
that all three answer the same question. Shipped cases themselves are beyond the others: an observation that
answers to two dozen causes fills their memory. Networks of any number of causes are small, since ours goes
through every set of them; no case asks for that. Their models are built and compiled before the clock starts;
ours starts from the tables each time. Belief propagation of pgmpy is left out where it cannot be: networks
that fall apart, and tables with zeros, by which it divides.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from itertools import product
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

import pyagrum
from pgmpy.factors.discrete import TabularCPD
from pgmpy.inference import BeliefPropagation, VariableElimination
from pgmpy.models import DiscreteBayesianNetwork

from bench.measure import Row, give
from helpers_weigh import a_network, chances, random_network, told
from proveout.model.belief import Network
from proveout.weigh.posteriors import posterior

Answer = dict[str, float]
#: How many causes at once (0: any number), how that is said, and causes and observables of each network.
KINDS = (
    (3, "of up to three causes at once", [(12, 12), (18, 18), (24, 24)]),
    (0, "of any number of causes at once", [(4, 6), (8, 10), (12, 12)]),
)
BITS = ("0", "1")
GUM: Any = pyagrum


def main(repeats: int) -> None:
    """Measure and print the rows."""
    rows, worst = [], 0.0
    for at_once, kind, sizes in KINDS:
        ratios: dict[str, list[float]] = {}
        for causes, observables in sizes:
            drawn = random_network(7 * causes, causes, observables)
            network = _with_plain_evidence(drawn, at_once or causes)
            ours, answer = _best(partial(_ours, network), repeats)
            for name, methods in (("pyagrum", _pyagrum(network)), ("pgmpy", _pgmpy(network))):
                timed = [_best(method, repeats) for method in methods]
                ratios.setdefault(name, []).append(min(seconds for seconds, _ in timed) / ours)
                worst = max(worst, *(abs(came[c] - answer[c]) for _, came in timed for c in answer))
        for name, least in (("pyagrum", 5), ("pgmpy", 100)):
            r = ratios[name]
            what = f"posterior, sets {kind}: time of {name} to ours, median (least to most)"
            came = f"{statistics.median(r):.1f} × ({min(r):.1f} to {max(r):.1f})"
            rows.append(Row(what, came, f"at least {least} ×"))
    assert worst < 1e-9, worst
    give([*rows, Row("largest difference of any confidence between the three", f"{worst:.0e}", "1e-9")])


def _ours(network: Network) -> Answer:
    return posterior(network).confidence()


def _with_plain_evidence(network: Network, at_once: int) -> Network:
    """Return a network of which each observable has the state that was likeliest."""
    plain = [told(e.cpt, max(e.weights, key=lambda pair: pair[1])[0]) for e in network.evidence]
    return a_network(dict(network.priors), *plain, at_once=at_once)


def _best(job: Callable[[], Answer], repeats: int) -> tuple[float, Answer]:
    """Return the shortest time of a job, one run having gone before, and its answer."""
    answer, times = job(), []
    for _ in range(repeats):
        began = time.perf_counter()
        job()
        times.append(time.perf_counter() - began)
    return min(times), answer


@dataclass(frozen=True)
class Node:
    """One variable of a general network; its table has a row for each combination of parents in order."""

    name: str
    labels: tuple[str, ...]
    parents: tuple[str, ...]
    rows: tuple[tuple[float, ...], ...]


def _nodes(network: Network) -> list[Node]:
    """Return a network with every table written out, parents first."""
    found = [Node(c, BITS, (), ((1.0 - p, p),)) for c, p in network.priors.items()]
    for evidence in network.evidence:
        cpt = evidence.cpt
        parents = tuple(cause for cause in network.priors if cause in cpt.given)
        rows = []
        for bits in product((0, 1), repeat=len(parents)):
            row = chances(cpt, [cause for cause, bit in zip(parents, bits, strict=True) if bit])
            rows.append(tuple(row[label] for label in ("", *cpt.states)))
        found.append(Node(cpt.observable.key, ("normal", *cpt.states), parents, tuple(rows)))
    return found + (_counters(network) if network.at_once < len(network.priors) else [])


def _counters(network: Network) -> list[Node]:
    """Return variables that count causes, up to one more than are allowed, and say whether they are few."""
    most = network.at_once + 1
    labels = tuple(str(n) for n in range(most + 1))

    def row(count: int) -> tuple[float, ...]:
        return tuple(float(n == min(count, most)) for n in range(most + 1))

    found: list[Node] = []
    for cause in network.priors:
        before = (found[-1].name,) if found else ()
        counts = product(range(most + 1 if before else 1), (0, 1))
        found.append(
            Node(f"up to {cause}", labels, (*before, cause), tuple(row(n + bit) for n, bit in counts))
        )
    few = tuple((float(n == most), float(n < most)) for n in range(most + 1))
    return [*found, Node("few", BITS, (found[-1].name,), few)]


def _seen(network: Network) -> dict[str, str]:
    """Return the label that each observed variable has."""
    found = {"few": "1"} if network.at_once < len(network.priors) else {}
    for evidence in network.evidence:
        state = evidence.weights[0][0]
        found[evidence.cpt.observable.key] = state if state in evidence.cpt.states else "normal"
    return found


def _pyagrum(network: Network) -> list[Callable[[], Answer]]:
    net, seen, labels = GUM.BayesNet(), _seen(network), {}
    for node in _nodes(network):
        labels[node.name] = node.labels
        net.add(GUM.LabelizedVariable(node.name, node.name, list(node.labels)))
        for parent in node.parents:
            net.addArc(parent, node.name)
        combinations = product(*(labels[parent] for parent in node.parents))
        for combination, row in zip(combinations, node.rows, strict=True):
            net.cpt(node.name)[dict(zip(node.parents, combination, strict=True))] = list(row)

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
    model, seen, labels = DiscreteBayesianNetwork(), _seen(network), {}
    for node in _nodes(network):
        labels[node.name] = list(node.labels)
        model.add_node(node.name)
        model.add_edges_from((parent, node.name) for parent in node.parents)
        columns = [list(column) for column in zip(*node.rows, strict=True)]
        sizes = [len(labels[parent]) for parent in node.parents]
        names = {name: labels[name] for name in (node.name, *node.parents)}
        model.add_cpds(
            TabularCPD(node.name, len(columns), columns, list(node.parents), sizes, state_names=names)
        )

    def by(engine: Any) -> Callable[[], Answer]:
        def answer() -> Answer:
            found = engine.query(list(network.priors), seen, joint=False, show_progress=False)
            return {cause: float(found[cause].values[1]) for cause in network.priors}

        return answer

    methods = [by(VariableElimination(model))]
    if "few" not in seen:
        with suppress(ValueError):
            by_propagation = BeliefPropagation(model)
            by_propagation.calibrate()
            methods.append(by(by_propagation))
    return methods


if __name__ == "__main__":
    main(int(sys.argv[1]))
