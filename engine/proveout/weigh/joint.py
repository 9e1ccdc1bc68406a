"""Findings that are weighed: each stands for the joint event of what it subsumes.

Of findings that overlap, the one subsuming more speaks. It speaks for all that it subsumes. A cause that its
rules do not name keeps what the subsumed observations give it: the product over the abnormal ones goes into
the finding's table, and the normal ones, whose probability is a plain product over the causes present, go on
speaking for the causes that the finding does not name.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from proveout.model.atom import Observable
from proveout.model.belief import CPT, Evidence
from proveout.model.trace import GAVE_WAY, SUBSUMED
from proveout.weigh.likelihoods import is_quiet, seen_likelihood

#: The state of a finding's table for "the subsumed observations were abnormal, but in another way". Never
#: seen, it lets a cause that speaks for other states of an subsumed inspection speak against the finding.
UNLIKE = "unlike"

#: Largest rate, and how often its interval is halved in search of one: to the last digit.
_LARGEST_RATE = 27.0
_HALVINGS = 60


class Candidates(Struct, frozen=True):
    """The evidence that could speak.

    Attributes:
        each: the evidence of each weighed observable by itself, weighed findings included.
        premises: for each weighed finding, what it subsumes, weighed findings on which it rests included.
    """

    each: Mapping[Observable, Evidence]
    premises: Mapping[Observable, frozenset[Observable]]

    def speaking(self, among: Iterable[Observable]) -> list[Evidence]:
        """Return the evidence that counts of the given observables, overlaps resolved, in canonical order."""
        weighed = sorted(o for o in among if o in self.each)
        leading = self._leading(weighed)
        taken = {o for finding in leading for o in self._span(finding)}
        spoken = [evidence for finding in leading for evidence in self._joint(finding)]
        spoken += [self.each[o] for o in weighed if o not in taken and o not in self.premises]
        return sorted(spoken, key=lambda e: e.cpt.observable)

    def silenced(self) -> dict[Observable, tuple[str, Observable]]:
        """Return how each weighed observable that does not speak itself is silenced, and by which finding."""
        leading = self._leading(sorted(self.each))
        found = {o: (SUBSUMED, finding) for finding in leading for o in self.premises[finding]}
        for finding in self.premises.keys() - found.keys() - set(leading):
            before = next(f for f in leading if not self._span(f).isdisjoint(self._span(finding)))
            found[finding] = GAVE_WAY, before
        return {o: found[o] for o in sorted(found) if o in self.each}

    def _leading(self, weighed: Iterable[Observable]) -> list[Observable]:
        """Return the findings that speak: of those that overlap, the one subsuming more, ties by id."""
        findings = [o for o in weighed if o in self.premises]
        leading: list[Observable] = []
        taken: set[Observable] = set()
        for finding in sorted(findings, key=lambda o: (-len(self.premises[o]), o)):
            if taken.isdisjoint(self._span(finding)):
                taken |= self._span(finding)
                leading.append(finding)
        return leading

    def _span(self, finding: Observable) -> frozenset[Observable]:
        """Return a finding with all that it subsumes."""
        return self.premises[finding] | {finding}

    def _joint(self, finding: Observable) -> list[Evidence]:
        """Return the evidence of a finding, and of the normal observations it leaves to other causes."""
        own = self.each[finding]
        inside = self.premises[finding]
        parts = self.speaking(inside)
        joint = replace(own, cpt=_joint_cpt(own.cpt, parts), subsumes=tuple(sorted(inside)))
        left = [_without(part, own.cpt.given.keys()) for part in parts if is_quiet(part)]
        return [joint, *(part for part in left if part.cpt.given)]


def _joint_cpt(own: CPT, parts: list[Evidence]) -> CPT:
    """Return the table of a finding, with what the causes it does not name get from the subsumed ones."""
    loud = [part for part in parts if not is_quiet(part)]
    if not loud:
        return own
    others = tuple(sorted({cause for part in loud for cause in part.cpt.given} - own.given.keys()))
    alone = np.vstack([np.zeros(len(others), dtype=np.bool_), np.eye(len(others), dtype=np.bool_)])
    product = np.prod([seen_likelihood(part, others, alone) for part in loud], axis=0)
    # Normal observations stay as factors for the other causes, but their background is the joint event's.
    product = product * np.prod([seen_likelihood(p, (), alone[:1, :0])[0] for p in parts if is_quiet(p)])
    nothing, *each = product.tolist()
    stated = "" in own.spoke
    background = own.background[0] if stated else nothing
    rows = {cause: _row(q, nothing, background) for cause, q in zip(others, each, strict=True)}
    rows = {cause: row for cause, row in rows.items() if any(row)}
    spoke = {cause: _rules(loud, cause) for cause in ([*rows] if stated else ["", *rows])}
    named = {cause: (*row, 0.0) for cause, row in own.given.items()}
    states = (*own.states, UNLIKE)
    return CPT(own.observable, states, (background, 0.0), {**named, **rows}, {**own.spoke, **spoke})


def _row(product: float, nothing: float, background: float) -> tuple[float, float]:
    """Return P(the joint event) and P(unlike it) of a cause not named by the finding, without background.

    So chosen that the joint event has, given that cause alone with the background, the product (never less
    than the background); or, where the cause makes it rarer, the background lowered in the same ratio.
    """
    if product >= nothing * (1.0 - 1e-12):
        return max((product - background) / (1.0 - background), 0.0), 0.0
    return 0.0, _diverted(background, product / nothing)


def _diverted(background: float, ratio: float) -> float:
    """Return P(unlike) of a cause that leaves only so much of the background of the joint event.

    With λ = −ln(1 − background), its rate r solves λ/(λ + r) (1 − e^−(λ+r)) = ratio × background; the left
    side falls with r.
    """
    rate = -math.log1p(-background)
    low, high = 0.0, _LARGEST_RATE
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        shown = -math.expm1(-(rate + middle)) * rate / (rate + middle)
        low, high = (middle, high) if shown > ratio * background else (low, middle)
    return -math.expm1(-low)


def _rules(parts: list[Evidence], cause: str) -> tuple[str, ...]:
    """Return the ids of all rules that spoke on a cause in the parts, sorted."""
    return tuple(sorted({rule for part in parts for rule in part.cpt.spoke.get(cause, ())}))


def _without(part: Evidence, named: Collection[str]) -> Evidence:
    """Return a normal observation as it speaks for causes other than the named ones, without background."""
    cpt = part.cpt
    given = {cause: row for cause, row in cpt.given.items() if cause not in named}
    spoke = {cause: ids for cause, ids in cpt.spoke.items() if cause in given}
    quiet = replace(cpt, background=(0.0,) * len(cpt.states), given=given, spoke=spoke)
    return replace(part, cpt=quiet)
