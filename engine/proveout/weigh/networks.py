"""From a case to a two-layer network: which evidence counts, which causes are in play, how likely before."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.model.atom import CANNOT_TELL, FINDING, REPLACED, Atom, Observable, Observation, observable_of
from proveout.model.belief import Evidence, Network
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.chained import Chained
from proveout.weigh.absorb import absorbed, observed
from proveout.weigh.joint import Hearing
from proveout.weigh.tables import table

#: A cause is never held likelier than even before the evidence.
LARGEST_PRIOR = 0.5

#: (causes in play, largest set considered): the first line that is wide enough counts; beyond all, sets of
#: one. Keeps the number of sets below about 80,000.
AT_ONCE = ((40, 3), (400, 2))


def network(book: Book, sheet: Sheet, chained: Chained) -> Network:
    """Give the network of a case; the same facts in any order give the same network."""
    evidence = _evidence(book, sheet, chained)
    causes = in_play(evidence)
    return Network(
        priors={cause: _prior(book, cause, chained.facts) for cause in causes},
        evidence=evidence,
        at_once=next((k for most, k in AT_ONCE if len(causes) <= most), 1),
    )


def in_play(evidence: Iterable[Evidence]) -> tuple[str, ...]:
    """Give the causes from which something abnormal can stem that was seen, sorted."""
    causes: set[str] = set()
    for one in evidence:
        seen = [i for i, state in enumerate(one.table.states) if _weight(one, state) > 0]
        causes |= {cause for cause, row in one.table.given.items() if any(row[i] > 0 for i in seen)}
    return tuple(sorted(causes))


def _weight(evidence: Evidence, state: str) -> float:
    """Give the weight with which a state was seen."""
    return sum(weight for seen, weight in evidence.weights if seen == state)


def _prior(book: Book, cause_id: str, facts: frozenset[Atom]) -> float:
    """Give the probability of a cause before the evidence: base rate and what is known of the vehicle."""
    cause = book.causes[cause_id]
    odds = cause.base_rate / (1.0 - cause.base_rate)
    for factor in cause.factors:
        if factor.when.holds(facts):
            odds *= factor.times
    if Atom(REPLACED, cause.component, "done") in facts:
        odds *= book.words.components[cause.component].new_part_bad
    return min(odds / (1.0 + odds), LARGEST_PRIOR)


def _evidence(book: Book, sheet: Sheet, chained: Chained) -> tuple[Evidence, ...]:
    """Give the evidence that counts, each observation once, in canonical order."""
    seen = observed(sheet)
    single = [_weigh(book, chained.facts, observation) for observation in seen.values()]
    found = [_finding(book, chained.facts, o) for o in {observable_of(a) for a in chained.facts}]
    each = {e.table.observable: e for e in (*single, *found) if e}
    findings = frozenset(o for o in each if o.kind == FINDING)
    hearing = Hearing(each, absorbed(book, sheet, chained, findings))
    return tuple(hearing.speaking(each))


def _weigh(book: Book, facts: frozenset[Atom], observation: Observation) -> Evidence | None:
    """Give an observation with its table, or None where nothing weighs it."""
    how = table(book, facts, observation.observable)
    if how is None:
        return None
    told = sorted(pair for pair in observation.states if pair[0] != CANNOT_TELL)
    whole = sum(weight for _, weight in told)
    weights = told if len(told) == len(observation.states) else [(state, w / whole) for state, w in told]
    return Evidence(how, tuple(weights), observation.said)


def _finding(book: Book, facts: frozenset[Atom], observable: Observable) -> Evidence | None:
    """Give a concluded finding with its table, or None for other observables and unweighed findings."""
    if observable.kind != FINDING:
        return None
    how = table(book, facts, observable)
    return Evidence(how, (("true", 1.0),)) if how else None
