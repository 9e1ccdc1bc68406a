"""Findings that are weighed: each stands for the joint event of what it absorbs.

Of findings that overlap, the one absorbing more speaks. It speaks for all that it absorbs. A cause that its
rules do not name keeps what the absorbed observations give it: the product over the abnormal ones goes into
the finding's table, and the normal ones, whose probability is a plain product over the causes present, go on
speaking for the causes that the finding does not name.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from proveout.model.atom import Observable
from proveout.model.belief import Evidence, Table
from proveout.weigh.likelihoods import is_quiet, seen_likelihood


@dataclass(frozen=True, slots=True)
class Hearing:
    """Everything that could speak.

    Attributes:
        each: the evidence of each weighed observable by itself, weighed findings included.
        absorbed: for each weighed finding, what it absorbs, weighed findings on which it rests included.
    """

    each: Mapping[Observable, Evidence]
    absorbed: Mapping[Observable, frozenset[Observable]]

    def speaking(self, among: Iterable[Observable]) -> list[Evidence]:
        """Give the evidence that counts of the given observables, overlaps resolved, in canonical order."""
        weighed = sorted(o for o in among if o in self.each)
        findings = [o for o in weighed if o in self.absorbed]
        spoken: list[Evidence] = []
        taken: set[Observable] = set()
        for finding in sorted(findings, key=lambda o: (-len(self.absorbed[o]), o)):
            span = self.absorbed[finding] | {finding}
            if taken.isdisjoint(span):
                taken |= span
                spoken += self._joint(finding)
        spoken += [self.each[o] for o in weighed if o not in taken and o not in self.absorbed]
        return sorted(spoken, key=lambda e: e.table.observable)

    def _joint(self, finding: Observable) -> list[Evidence]:
        """Give the evidence of a finding, and of the normal observations it leaves to other causes."""
        own = self.each[finding]
        inside = self.absorbed[finding]
        parts = self.speaking(inside)
        joint = replace(own, table=_joint_table(own.table, parts), absorbed=tuple(sorted(inside)))
        left = [_without(part, own.table.given.keys()) for part in parts if is_quiet(part)]
        return [joint, *(part for part in left if part.table.given)]


def _joint_table(own: Table, parts: list[Evidence]) -> Table:
    """Give the table of a finding, with what the causes it does not name get from the absorbed ones.

    With q the product for such a cause alone, background included, and b the background of the joint event,
    the cause gets (q − b)/(1 − b), so that P(finding | that cause alone) is q (and never below b).
    """
    loud = [part for part in parts if not is_quiet(part)]
    if not loud:
        return own
    others = tuple(sorted({cause for part in loud for cause in part.table.given} - own.given.keys()))
    alone = np.vstack([np.zeros(len(others), dtype=np.bool_), np.eye(len(others), dtype=np.bool_)])
    product = np.prod([seen_likelihood(part, others, alone) for part in loud], axis=0)
    # Normal observations stay as factors for the other causes, but their background is the joint event's.
    product = product * np.prod(
        [seen_likelihood(part, (), alone[:1, :0])[0] for part in parts if is_quiet(part)]
    )
    background = own.background if "" in own.spoke else (float(product[0]),)
    gained = np.maximum((product[1:] - background[0]) / (1.0 - background[0]), 0.0).tolist()
    kept = {cause: (gain,) for cause, gain in zip(others, gained, strict=True) if gain > 0}
    heard = ["", *kept] if "" not in own.spoke else [*kept]
    spoke = {cause: _rules(loud, cause) for cause in heard}
    return replace(own, background=background, given={**own.given, **kept}, spoke={**own.spoke, **spoke})


def _rules(parts: list[Evidence], cause: str) -> tuple[str, ...]:
    """Give the ids of all rules that spoke on a cause in the parts, sorted."""
    return tuple(sorted({rule for part in parts for rule in part.table.spoke.get(cause, ())}))


def _without(part: Evidence, named: Collection[str]) -> Evidence:
    """Give a normal observation as it speaks for causes other than the named ones, without background."""
    table = part.table
    given = {cause: row for cause, row in table.given.items() if cause not in named}
    spoke = {cause: ids for cause, ids in table.spoke.items() if cause in given}
    quiet = replace(table, background=(0.0,) * len(table.states), given=given, spoke=spoke)
    return replace(part, table=quiet)
