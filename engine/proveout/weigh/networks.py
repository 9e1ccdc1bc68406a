"""From a case to a two-layer network: which evidence counts, which causes are in play, how likely before."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.model.atom import CANNOT_TELL, FINDING, REPLACED, Atom, Observable, Observation, observable_of
from proveout.model.belief import Evidence, Network
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.chained import Chained
from proveout.weigh.cpts import CPTs, cpts_of
from proveout.weigh.history import factors, numberless
from proveout.weigh.joint import Candidates
from proveout.weigh.premises import observed, premises
from proveout.weigh.presence import Presence
from proveout.weigh.siblings import with_siblings
from proveout.weigh.watching import watched

#: A cause is never held likelier than even before the evidence.
LARGEST_PRIOR = 0.5

#: (causes in play, largest set considered): the first line that is wide enough counts; beyond all, sets of
#: one. Keeps the number of sets below about 80,000.
AT_ONCE = ((40, 3), (400, 2))


def network(book: Book, sheet: Sheet, chained: Chained) -> Network:
    """Return the network of a case; the same facts in any order give the same network."""
    candidates = _candidates(book, sheet, chained)
    evidence = tuple(candidates.speaking(candidates.each))
    causes = in_play(evidence)
    evidence = Presence(book, sheet).eased(evidence, causes)
    priors = {cause: _prior(book, cause, chained.facts, sheet) for cause in causes}
    return Network(
        priors=priors,
        evidence=evidence if sheet.each_code else with_siblings(book, evidence, priors),
        at_once=next((k for most, k in AT_ONCE if len(causes) <= most), 1),
        silenced=candidates.silenced(),
    )


def in_play(evidence: Iterable[Evidence]) -> tuple[str, ...]:
    """Return the causes from which something abnormal can stem that was seen, sorted."""
    causes: set[str] = set()
    for one in evidence:
        seen = [i for i, state in enumerate(one.cpt.states) if _weight(one, state) > 0]
        causes |= {cause for cause, row in one.cpt.given.items() if any(row[i] > 0 for i in seen)}
    return tuple(sorted(causes))


def _weight(evidence: Evidence, state: str) -> float:
    """Return the weight with which a state was seen."""
    return sum(weight for seen, weight in evidence.weights if seen == state)


def _prior(book: Book, cause_id: str, facts: frozenset[Atom], sheet: Sheet) -> float:
    """Return the probability of a cause before the evidence: base rate, and vehicle and history as known."""
    cause = book.causes[cause_id]
    odds = cause.base_rate / (1.0 - cause.base_rate)
    for factor in cause.factors:
        if factor.when.holds(facts):
            odds *= factor.times
    if Atom(REPLACED, cause.component, "done") in facts:
        odds *= book.words.components[cause.component].new_part_bad
    for told in factors(book, cause_id, sheet):
        odds *= told.times
    return min(odds / (1.0 + odds), LARGEST_PRIOR)


def _candidates(book: Book, sheet: Sheet, chained: Chained) -> Candidates:
    """Return the evidence that could speak, each observation once."""
    cpts = cpts_of(book, chained.facts, chained.applying)
    single = [_weigh(cpts, observation) for observation in observed(sheet).values()]
    found = [_finding(cpts, o) for o in {observable_of(a) for a in chained.facts}]
    each = {
        e.cpt.observable: e
        for e in (*single, *found, *watched(book, sheet), *numberless(book, sheet, cpts))
        if e
    }
    findings = frozenset(o for o in each if o.kind == FINDING)
    return Candidates(each, premises(book, sheet, chained, findings))


def _weigh(cpts: CPTs, observation: Observation) -> Evidence | None:
    """Return an observation with its table, or None where nothing weighs it."""
    how = cpts.on(observation.observable)
    if how is None:
        return None
    told = sorted(pair for pair in observation.states if pair[0] != CANNOT_TELL)
    whole = sum(weight for _, weight in told)
    weights = told if len(told) == len(observation.states) else [(state, w / whole) for state, w in told]
    return Evidence(how, tuple(weights), observation.said)


def _finding(cpts: CPTs, observable: Observable) -> Evidence | None:
    """Return a concluded finding with its table, or None for other observables and unweighed findings."""
    if observable.kind != FINDING:
        return None
    how = cpts.on(observable)
    return Evidence(how, (("true", 1.0),)) if how else None
