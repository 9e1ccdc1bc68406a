"""Several codes of one family, and "nothing wrong now".

"Nothing wrong now" stands for any fault of its family that was there and is away. So one code speaks for it
by itself, but a second one comes with the first no oftener than with the faults that could have been there.
Were the codes taken as independent, each further one would speak for "nothing wrong now" against every fault
of which the book does not say that it sets this one, too.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from proveout.model.atom import CODE
from proveout.model.belief import Evidence
from proveout.model.book import Book

#: Why a code speaks for "nothing wrong now" less than its rules say.
FURTHER = "a further code of its family counts only as often as the faults that could have been there set it"


def with_siblings(
    book: Book, evidence: Sequence[Evidence], priors: Mapping[str, float]
) -> tuple[Evidence, ...]:
    """Return the evidence, of causes that mean that nothing is wrong now the further codes of a family eased.

    Args:
        book: the compiled book.
        evidence: that counts.
        priors: of the causes in play, which share out what could have been there.
    """
    idle = [cause for cause in priors if book.causes[cause].remedy.action == "nothing"]
    families: dict[str, list[int]] = {}
    for place, one in enumerate(evidence):
        entry = book.words.codes.get(one.cpt.observable.key)
        if one.cpt.observable.kind == CODE and one.weights == (("set", 1.0),) and entry:
            families.setdefault(entry.family, []).append(place)
    found = list(evidence)
    for places in families.values():
        for cause in idle if len(places) > 1 else ():
            _ease(found, places, cause, {c: p for c, p in priors.items() if c not in idle})
    return tuple(found)


def _ease(evidence: list[Evidence], places: Sequence[int], cause: str, faults: Mapping[str, float]) -> None:
    """Lower the frequencies of one cause in all codes of a family but the one that it sets most often."""
    naming = [place for place in places if cause in evidence[place].cpt.given]
    if len(naming) < 2:
        return
    first = max(naming, key=lambda place: (evidence[place].cpt.given[cause][0], -place))
    weight = {fault: prior * _seen(evidence[first], fault) for fault, prior in faults.items()}
    for place in (one for one in naming if one != first):
        whole = sum(weight.values())
        seen = {fault: _seen(evidence[place], fault) for fault in faults}
        if whole <= 0:
            return
        expected = sum(weight[fault] * seen[fault] for fault in faults) / whole
        cpt = evidence[place].cpt
        if expected < cpt.given[cause][0]:
            given = {**cpt.given, cause: (expected,)}
            why = f"{FURTHER} ({expected:.2g} instead of {cpt.given[cause][0]:.2g})"
            eased = (*evidence[place].eased, (cause, why))
            evidence[place] = replace(evidence[place], cpt=replace(cpt, given=given), eased=eased)
        weight = {fault: weight[fault] * seen[fault] for fault in faults}


def _seen(evidence: Evidence, fault: str) -> float:
    """Return how often a fault sets a code, the background included."""
    own, background = evidence.cpt.given.get(fault, (0.0,))[0], evidence.cpt.background[0]
    return own + background - own * background
