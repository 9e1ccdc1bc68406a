"""What a concluded finding rests on: the observables of the case that it subsumes where it is weighed."""

from __future__ import annotations

from collections.abc import Mapping

from proveout.model.atom import CANNOT_TELL, FINDING, NORMAL, RESULT, Observable, Observation, observable_of
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.chained import Chained, Fired


def observed(sheet: Sheet) -> dict[Observable, Observation]:
    """Return what was seen, by observable; an inspection that told nothing is left out."""
    return {o.observable: o for o in sheet.observations if o.decided != CANNOT_TELL}


def premises(
    book: Book, sheet: Sheet, chained: Chained, weighed: frozenset[Observable]
) -> dict[Observable, frozenset[Observable]]:
    """Return, for each of the weighed findings, what it subsumes.

    Absorbed are the observed observables among the atoms that the concluding rules matched, directly or
    through other findings; those that a concluding rule negates and that were observed normal; and the
    weighed findings on the way, so that a finding resting on another always subsumes more than it.
    """
    seen = observed(sheet)
    normal = frozenset(o for o, observation in seen.items() if _is_normal(book, observation))
    concluding: dict[str, list[Fired]] = {}
    for fired in chained.fired:
        concluding.setdefault(fired.concludes, []).append(fired)
    return {
        finding: _rests_on(book, finding, concluding, frozenset(seen), normal) & (seen.keys() | weighed)
        for finding in weighed
    }


def _rests_on(
    book: Book,
    finding: Observable,
    concluding: Mapping[str, list[Fired]],
    seen: frozenset[Observable],
    normal: frozenset[Observable],
) -> frozenset[Observable]:
    """Return every observable and finding on which a finding rests, itself left out."""
    found: set[Observable] = set()
    visited, waiting = {finding}, [finding]
    while waiting:
        for fired in concluding.get(waiting.pop().key, ()):
            matched = {observable_of(atom) for atom in fired.matched}
            negated = {observable_of(atom) for atom in book.rules[fired.rule].when.none_of}
            found |= (matched & seen) | (negated & normal)
            further = {o for o in matched if o.kind == FINDING} - visited
            visited |= further
            waiting.extend(further)
    return frozenset(found | (visited - {finding}))


def _is_normal(book: Book, observation: Observation) -> bool:
    """Say whether an observation is decided and nothing is amiss in it."""
    kind, key = observation.observable
    if kind != RESULT or key not in book.inspections:
        return observation.decided == NORMAL
    results = book.inspections[key].results
    return any(result.id == observation.decided and result.normal for result in results)
