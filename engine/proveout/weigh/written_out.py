"""A case's network with every table written out, as any program for Bayesian networks can read it.

Every node is observed or not, in one state: mixtures of results, and the largest set of causes, become nodes
of their own. With one abnormal state, or none seen, an observable is a chain of noisy-ORs, each a node of two
parents; with several its table is written out whole, which doubles with each cause, or, where it answers to
many causes, what was seen of it is: as a chain of first arrivals.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product
from math import exp, expm1
from operator import mul

import numpy as np
from msgspec import Struct

from proveout.model.atom import WATCH, Observable
from proveout.model.belief import CPT, Evidence, Network, Posterior
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.weigh.likelihoods import FLOOR, is_quiet, likelihood, mixture_of, rates_of
from proveout.weigh.watching import MENDED_ALL

#: Most causes of an observable whose table of several abnormal states is written out whole, with two to the
#: power of it rows.
MOST_CAUSES = 12
NO, YES = "no", "yes"
_BITS = (NO, YES)
#: Share of the probability beyond which sets whose evidence is held at the floor change the answer.
_FLOORED = 1e-10


class Node(Struct, frozen=True):
    """A variable with its table.

    Attributes:
        name: of letters, figures and ``_``, unique in the network.
        states: their names.
        parents: names of nodes that stand before it.
        rows: P(state | the parents), one row a combination of their states, the last parent's the fastest.
        seen: the state that it was seen in, or "".
        note: what it stands for.
    """

    name: str
    states: tuple[str, ...]
    parents: tuple[str, ...]
    rows: tuple[tuple[float, ...], ...]
    seen: str = ""
    note: str = ""


def written_out(network: Network, posterior: Posterior) -> tuple[Node, ...]:
    """Return the nodes of a network, parents first; what is seen of them gives its posterior.

    Args:
        network: of a case.
        posterior: its posterior, by which it is seen whether any evidence is held at the floor.

    Raises:
        BadInputError: the book holds the case impossible.
    """
    _refuse_floored(posterior)
    found = [Node(cause_name(c), _BITS, (), ((1 - p, p),), note=c) for c, p in network.priors.items()]
    causes = tuple(network.priors)
    for evidence in network.evidence:
        found += _observed(evidence, causes)
    return (*found, *_counted(causes, network.at_once))


def cause_name(cause: str) -> str:
    """Return the name of a cause's node."""
    return _name("cause", cause)


def _name(kind: str, key: str) -> str:
    """Return a name that every reader takes; ids have no ``_``, so that none becomes another's."""
    return f"{kind}_{key.replace('.', '__').replace('-', '_')}"


def _refuse_floored(posterior: Posterior) -> None:
    floored = (posterior.log_seen <= np.log(FLOOR) + 1e-9).any(axis=0)
    if float(posterior.prob[floored].sum()) > _FLOORED:
        saw = "evidence that the book holds impossible with every set of causes that leads"
        mend = "look with why for what contradicts the rest, and withdraw it"
        raise BadInputError(Problem(NOWHERE, "impossible-evidence", saw, "evidence that can be", mend))


def _observed(evidence: Evidence, causes: Sequence[str]) -> list[Node]:
    """Return the nodes of a piece of evidence: how it answers to causes, and what was seen of it."""
    cpt = evidence.cpt
    states: tuple[str, ...] = _BITS
    name, note = _name(*cpt.observable), str(cpt.observable)
    if cpt.mended:
        nodes = _watched(name, cpt, causes)
    elif is_quiet(evidence) or len(cpt.states) == 1:
        nodes = _noisy_or(name, cpt, causes)
    else:
        named = _answers_to(cpt, causes)
        if len(named) > MOST_CAUSES:
            return _arrivals(name, evidence, named)
        nodes, states = [_whole(name, cpt, named)], ("normal", *cpt.states)
    weights = _weights(evidence, states)
    last = nodes[-1]
    if max(weights) == sum(weights):
        return [*nodes[:-1], _noted(last, states[weights.index(max(weights))], note)]
    told = Node(f"{name}__told", _BITS, (name,), tuple((1 - w, w) for w in weights), YES, f"{note}, mixed")
    return [*nodes[:-1], _noted(last, "", note), told]


def _noted(node: Node, seen: str, note: str) -> Node:
    return Node(node.name, node.states, node.parents, node.rows, seen, note)


def _weights(evidence: Evidence, states: Sequence[str]) -> list[float]:
    """Return the weight with which each state of its node was seen; the first is the normal one."""
    known = evidence.cpt.states
    found = [0.0] * len(states)
    for state, weight in evidence.weights:
        found[(1 + known.index(state)) if state in known else 0] += weight
    return found


def _noisy_or(name: str, cpt: CPT, causes: Sequence[str]) -> list[Node]:
    """Return a chain: normal or not with the background, then with one cause more at each node."""
    named = [cause for cause in causes if any(cpt.given.get(cause, ()))]
    shown = sum(cpt.background)
    names = [*(f"{name}__{n}" for n in range(len(named))), name]
    found = [Node(names[0], _BITS, (), ((1 - shown, shown),))]
    for before, after, cause in zip(names, names[1:], named, strict=False):
        s = sum(cpt.given[cause])
        rows = ((1.0, 0.0), (1 - s, s), (0.0, 1.0), (0.0, 1.0))
        found.append(Node(after, _BITS, (before, cause_name(cause)), rows))
    return found


def _answers_to(cpt: CPT, causes: Sequence[str]) -> tuple[str, ...]:
    """Return the causes with which an observable is seen in some abnormal state."""
    return tuple(cause for cause in causes if any(cpt.given.get(cause, ())))


def _whole(name: str, cpt: CPT, named: tuple[str, ...]) -> Node:
    """Return an observable with its table written out whole."""
    member = np.array(list(product((False, True), repeat=len(named))), dtype=np.bool_)
    rows = likelihood(cpt, named, member.reshape(2 ** len(named), len(named)))
    parents = tuple(cause_name(cause) for cause in named)
    return Node(name, ("normal", *cpt.states), parents, tuple(map(tuple, rows.tolist())))


def _arrivals(name: str, evidence: Evidence, named: Sequence[str]) -> list[Node]:
    """Return what was seen of an observable that answers to many causes: a chain that ends in one likelihood.

    With rates λ, each state k is seen with λk (1 − e^−Λ) / Λ, which is λk ∫ e^−Λt dt over t from 0 to 1: the
    first of arrivals at these rates, at the time t. The integral is a sum over a node of ``TIMES`` (Gauss and
    Legendre; the integrand is entire, so that it is exact to rounding), and for each time a product over the
    causes times a sum over them: none has arrived yet, or the one that was seen has, or anything else. One
    time more stands for the normal state, e^−Λ.
    """
    rates = rates_of(evidence.cpt)
    normal, mixture = mixture_of(evidence)
    times, shares = _times()
    scale = 1.0 / min(times)
    priors = [share * scale for share in shares] + [normal]
    time = Node(f"{name}__time", _names("t", len(priors)), (), (tuple(p / sum(priors) for p in priors),))
    found = [time]
    for place, cause in enumerate(("", *named)):
        row = rates.given[cause] if cause else rates.background
        both = [_arriving(sum(row), sum(map(mul, row, mixture)) / scale, t) for t in (*times, 1.0)]
        before = (found[-1].name, cause_name(cause)) if cause else ()
        rows = [one for moves in both for one in (_still(moves) if cause else moves[:1])]
        found.append(Node(f"{name}__{place}", _ARRIVED, (time.name, *before), tuple(rows)))
    ends = [_SEEN_LAST if place < len(times) else _NORMAL_LAST for place in range(len(priors))]
    note = f"{evidence.cpt.observable}, as it was seen"
    last = Node(
        name, _BITS, (time.name, found[-1].name), tuple(row for end in ends for row in end), YES, note
    )
    return [*found, last]


#: States of a chain of arrivals; the rows of its end where a state was seen, and where nothing was.
_ARRIVED = ("none", "seen", "else")
_SEEN_LAST = ((1.0, 0.0), (0.0, 1.0), (1.0, 0.0))
_NORMAL_LAST = ((0.0, 1.0), (1.0, 0.0), (1.0, 0.0))
#: Points of the integral over time; at rates up to 60 its error is below that of rounding.
TIMES = 40


def _times() -> tuple[list[float], list[float]]:
    """Return the points of Gauss and Legendre on (0, 1) with their shares, which sum to 1."""
    points, weights = np.polynomial.legendre.leggauss(TIMES)
    return ((points + 1) / 2).tolist(), (weights / 2).tolist()


def _names(lead: str, count: int) -> tuple[str, ...]:
    return tuple(f"{lead}{n}" for n in range(count))


def _arriving(rate: float, seen: float, time: float) -> tuple[tuple[float, ...], ...]:
    """Return how a chain goes on at a cause that is there: from none yet, from seen, from anything else."""
    none = exp(-rate * time)
    return (none, seen * none, -expm1(-rate * time) - seen * none), (0.0, none, 1.0 - none), (0.0, 0.0, 1.0)


def _still(moves: Sequence[tuple[float, ...]]) -> list[tuple[float, ...]]:
    """Return the rows of a node of the chain: where its cause is absent, nothing changes."""
    return [row for state, move in enumerate(moves) for row in (_unit(state, len(_ARRIVED)), move)]


def _watched(name: str, cpt: CPT, causes: Sequence[str]) -> list[Node]:
    """Return what shows after a mending: it comes back seldom where what is mended was all that was wrong."""
    mended, other = f"{name}__mended", f"{name}__other"
    found = _any(mended, [cause for cause in causes if cause in cpt.mended])
    found += _any(other, [cause for cause in causes if cause not in cpt.mended])
    back = cpt.background[0]
    rows = tuple((1 - p, p) for p in (back, back, MENDED_ALL, back))
    return [*found, Node(name, _BITS, (mended, other), rows)]


def _any(name: str, causes: Sequence[str]) -> list[Node]:
    """Return a chain of nodes whose last says whether any of some causes is there."""
    chain = CPT(Observable(WATCH, name), (YES,), (0.0,), dict.fromkeys(causes, (1.0,)))
    return _noisy_or(name, chain, causes)


def _counted(causes: Sequence[str], at_once: int) -> Iterable[Node]:
    """Return nodes that count the causes that are there, and the one that says that they are few enough."""
    if at_once >= len(causes):
        return []
    states = tuple(f"n{n}" for n in range(at_once + 2))
    found: list[Node] = []
    for place, cause in enumerate(causes):
        before = (found[-1].name,) if found else ()
        counts = product(range(len(states)) if before else (0,), (0, 1))
        rows = tuple(_unit(min(n + bit, at_once + 1), len(states)) for n, bit in counts)
        note = f"how many causes up to here, n{at_once + 1} is that many or more"
        found.append(Node(f"count__{place}", states, (*before, cause_name(cause)), rows, note=note))
    few = tuple((0.0, 1.0) if n <= at_once else (1.0, 0.0) for n in range(len(states)))
    note = f"at most {at_once} causes at once"
    return [*found, Node("few", _BITS, (found[-1].name,), few, YES, note)]


def _unit(place: int, wide: int) -> tuple[float, ...]:
    return tuple(float(n == place) for n in range(wide))
