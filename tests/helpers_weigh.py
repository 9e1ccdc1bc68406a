"""Small hand-made books, cases and networks for the tests of weighing, and references computed otherwise."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from proveout.model.atom import (
    CODE,
    FACT,
    FINDING,
    REPLACED,
    RESULT,
    SYMPTOM,
    Atom,
    Observable,
    Observation,
    observable_of,
)
from proveout.model.belief import CPT, Evidence, Network
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.chained import Chained, Fired
from proveout.model.entries import Cause, Component, Factor, Inspection, Remedy, Result, Vocabulary
from proveout.model.rule import Rule, When

#: Results that every inspection of these books has.
RESULTS = (Result("ok", True), Result("bad", False), Result("worse", False))


def code(key: str) -> Atom:
    return Atom(CODE, key, "set")


def symptom(key: str) -> Atom:
    return Atom(SYMPTOM, key, "present")


def result(key: str, state: str = "bad") -> Atom:
    return Atom(RESULT, key, state)


def finding(key: str) -> Atom:
    return Atom(FINDING, key, "true")


def fact(key: str) -> Atom:
    return Atom(FACT, key, "true")


def replaced(component: str) -> Atom:
    return Atom(REPLACED, component, "done")


def weighs(
    rule_id: str,
    observes: Atom,
    weights: Mapping[str, float],
    otherwise: float | None = None,
    *,
    all_of: Sequence[Atom] = (),
    any_of: Sequence[Atom] = (),
    none_of: Sequence[Atom] = (),
) -> Rule:
    """Return a weighing rule; the atoms besides the observed one are its context."""
    when = When((observes, *all_of), tuple(any_of), tuple(none_of))
    return Rule(rule_id, when, observes=observes, weights=dict(weights), otherwise=otherwise)


def concludes(
    rule_id: str,
    found: str,
    *,
    all_of: Sequence[Atom] = (),
    any_of: Sequence[Atom] = (),
    none_of: Sequence[Atom] = (),
) -> Rule:
    return Rule(rule_id, When(tuple(all_of), tuple(any_of), tuple(none_of)), concludes=found)


def a_cause(
    cause_id: str, base_rate: float = 0.02, component: str = "part", factors: Sequence[Factor] = ()
) -> Cause:
    remedy = Remedy("repair")
    return Cause(cause_id, cause_id, component, base_rate, "from memory", remedy, tuple(factors))


def a_book(*rules: Rule, causes: Iterable[Cause] = (), components: Iterable[Component] = ()) -> Book:
    """Return a book of these rules; causes that they name and that are not given are made up."""
    by_id = {rule.id: rule for rule in rules}
    known = {cause.id: cause for cause in causes}
    for name in sorted({name for rule in rules for name in rule.weights} - known.keys()):
        known[name] = a_cause(name)
    weighing: dict[Observable, tuple[str, ...]] = {}
    for rule in rules:
        if rule.observable:
            weighing[rule.observable] = (*weighing.get(rule.observable, ()), rule.id)
    keys = {a.key for rule in rules for a in rule.when.atoms if a.kind == RESULT}
    return Book(
        causes=known,
        inspections={key: Inspection(key, key, "visual", {}, RESULTS, 5.0) for key in sorted(keys)},
        rules=by_id,
        words=Vocabulary(components={c.id: c for c in components}),
        weighing=weighing,
    )


def saw(atom: Atom, said: str = "") -> Observation:
    return Observation(observable_of(atom), ((atom.value, 1.0),), said)


def normal(atom: Atom) -> Observation:
    """Return the observation that nothing is amiss with the atom's observable."""
    return Observation(observable_of(atom), (("ok" if atom.kind == RESULT else "normal", 1.0),))


def torn(key: str, **weights: float) -> Observation:
    """Return an inspection whose reading is too near a limit."""
    return Observation(Observable(RESULT, key), tuple(weights.items()))


def a_sheet(*observations: Observation, context: Iterable[Atom] = ()) -> Sheet:
    """Return the sheet of a case: atoms for what is decided, none where an observable is normal or torn."""
    atoms = set(context)
    for one in observations:
        state = one.decided
        if state is not None and state != "normal":
            atoms.add(Atom(one.observable.kind, one.observable.key, state))
    return Sheet(frozenset(atoms), observations)


def close(book: Book, sheet: Sheet) -> Chained:
    """Chain naively: fire concluding rules until nothing new follows (no negated findings)."""
    facts = set(sheet.atoms)
    fired: dict[str, Fired] = {}
    while True:
        new = [r for r in book.rules.values() if r.id not in fired and r.concludes and r.when.holds(facts)]
        if not new:
            return Chained(frozenset(facts), tuple(sorted(fired.values())))
        for rule in new:
            matched = [*rule.when.all_of, *(a for a in rule.when.any_of if a in facts)]
            fired[rule.id] = Fired(0, rule.id, tuple(sorted(matched)), rule.concludes or "")
            facts.add(finding(rule.concludes or ""))


def a_cpt(
    key: str, given: Mapping[str, float | tuple[float, ...]], background: float | tuple[float, ...] = 0.0
) -> CPT:
    """Return the table of an inspection with states bad, worse, ... in the order of the figures."""
    rows = {c: row if isinstance(row, tuple) else (row,) for c, row in given.items()}
    leak = background if isinstance(background, tuple) else (background,)
    return CPT(Observable(RESULT, key), ("bad", "worse", "worst")[: len(leak)], leak, rows)


def told(cpt: CPT, state: str = "bad", /, **mixed: float) -> Evidence:
    return Evidence(cpt, tuple(mixed.items()) or ((state, 1.0),))


def a_network(priors: Mapping[str, float], *evidence: Evidence, at_once: int | None = None) -> Network:
    """Return a network over all sets of causes unless a smaller size is given."""
    return Network(dict(sorted(priors.items())), evidence, len(priors) if at_once is None else at_once)


def chances(cpt: CPT, present: Iterable[str]) -> dict[str, float]:
    """Return P(state | the causes present), with "" for normal: the formulas one number at a time."""
    rates = dict.fromkeys(cpt.states, 0.0)
    for row in [cpt.background, *(cpt.given[c] for c in present if c in cpt.given)]:
        total = sum(row)
        for state, s in zip(cpt.states, row, strict=True):
            rates[state] += s / total * -math.log1p(-total) if total else 0.0
    all_rates = sum(rates.values())
    shown = -math.expm1(-all_rates)
    return {"": 1.0 - shown} | {k: r / all_rates * shown if all_rates else 0.0 for k, r in rates.items()}


def seen_chance(evidence: Evidence, present: Iterable[str]) -> float:
    """Return P(what was seen | the causes present)."""
    by_state = chances(evidence.cpt, present)
    return sum(w * by_state[k if k in evidence.cpt.states else ""] for k, w in evidence.weights)


def brute_force(network: Network) -> tuple[dict[str, float], float, float]:
    """Return confidences, P(empty set) and P(evidence) by adding up every set, one at a time."""
    mass: dict[tuple[str, ...], tuple[float, float]] = {}
    for size in range(network.at_once + 1):
        for chosen in combinations(sorted(network.priors), size):
            prior = math.prod(network.priors[c] / (1 - network.priors[c]) for c in chosen)
            mass[chosen] = prior, prior * math.prod(seen_chance(e, chosen) for e in network.evidence)
    total = sum(joint for _, joint in mass.values())
    confidence = {c: sum(j for h, (_, j) in mass.items() if c in h) / total for c in network.priors}
    return confidence, mass[()][1] / total, total / sum(prior for prior, _ in mass.values())


def random_network(seed: int, causes: int, observables: int, parents: int = 5) -> Network:
    """Return a random two-layer network: one to three abnormal states, normal or abnormal or mixed."""
    rng = np.random.default_rng(seed)
    names = [f"c{i:02}" for i in range(causes)]
    evidence = []
    for j in range(observables):
        states = int(rng.integers(1, 4))
        chosen = rng.choice(names, size=int(rng.integers(1, min(parents, causes) + 1)), replace=False)
        given = {str(c): tuple(_frequencies(rng, states)) for c in chosen}
        leak = tuple((rng.uniform(0.001, 0.1, states) / states).tolist())
        evidence.append(_random_seen(rng, a_cpt(f"x{j:02}", given, leak)))
    priors = {name: float(rng.uniform(0.001, 0.3)) for name in names}
    return a_network(priors, *evidence)


def _frequencies(rng: np.random.Generator, states: int) -> list[float]:
    """Return frequencies of the abnormal states of one cause that leave something for normal."""
    share: NDArray[np.float64] = rng.dirichlet(np.ones(states)) * rng.uniform(0.02, 0.98)
    return [float(x) for x in share]


def _random_seen(rng: np.random.Generator, cpt: CPT) -> Evidence:
    """Return the table with one state seen, or two states mixed."""
    states = ["ok", *cpt.states]
    if rng.random() < 0.25:
        weight = float(rng.uniform(0.05, 0.95))
        return Evidence(cpt, (("bad", weight), ("ok", 1.0 - weight)))
    return Evidence(cpt, ((str(rng.choice(states)), 1.0),))
