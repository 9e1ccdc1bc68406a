"""The same networks in pyagrum, an independent library of exact inference, with every table written out."""

from __future__ import annotations

from typing import Any

import pyagrum

from helpers_weigh import chances
from proveout.model.belief import Evidence, Network

#: The library carries no usable type hints.
GUM: Any = pyagrum


def by_pyagrum(network: Network) -> tuple[dict[str, float], float]:
    """Return confidences and P(evidence) from a general network with the tables written out in full."""
    net = GUM.BayesNet()
    for cause, prior in network.priors.items():
        net.add(GUM.LabelizedVariable(cause, cause, 2))
        net.cpt(cause).fillWith([1.0 - prior, prior])
    engine_evidence: dict[str, list[float]] = {}
    for evidence in network.evidence:
        engine_evidence[evidence.cpt.observable.key] = _add_child(net, network, evidence)
    engine = GUM.LazyPropagation(net)
    engine.setEvidence(engine_evidence)
    engine.makeInference()
    confidence = {cause: float(engine.posterior(cause)[1]) for cause in network.priors}
    return confidence, float(engine.evidenceProbability())


def _add_child(net: Any, network: Network, evidence: Evidence) -> list[float]:
    """Add an observable with its full conditional table; give the evidence on its labels."""
    cpt = evidence.cpt
    name, labels = cpt.observable.key, ["", *cpt.states]
    parents = [cause for cause in network.priors if cause in cpt.given]
    net.add(GUM.LabelizedVariable(name, name, len(labels)))
    for cause in parents:
        net.addArc(cause, name)
    for pattern in range(2 ** len(parents)):
        bits = {cause: pattern >> i & 1 for i, cause in enumerate(parents)}
        row = chances(cpt, [cause for cause, bit in bits.items() if bit])
        net.cpt(name)[bits] = [row[label] for label in labels]
    weights = [0.0] * len(labels)
    for state, weight in evidence.weights:
        weights[labels.index(state if state in cpt.states else "")] += weight
    return weights
