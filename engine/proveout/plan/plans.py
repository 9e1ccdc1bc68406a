"""The steps from which a cheap plan of repair is put together.

A step is: make one direct inspection of a cause; if it shows the cause, make what must be inspected before
buying; then mend. Where the cause has been shown already, the step begins at the second part.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from proveout.plan.job import Bools, Floats, Ints, Job

#: Inspections before buying of one cause of which every subset is prepared; the rest count as neutral.
SUBSETS_OF = 4
#: A result speaks against a cause that makes it less than this many times as likely; what hardly depends on
#: the cause speaks neither way.
AGAINST = 0.5

#: A step in the making: cause, first check or -1, checks watched, those of them still to be made, support.
_Row = tuple[int, int, list[int], tuple[int, ...], Floats]


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """M steps side by side.

    Attributes:
        cause: (M,) cause that the step proves and mends.
        shown: (M,) whether the step begins with the cause already shown.
        front, back: (M, I) checks made at the start, and those made only once the cause is shown.
        front_access, back_access, repair_access: (M, A) access each part needs beyond the parts before it.
        watched: (M, I) checks before buying of which it matters whether they are made already.
        needs: (M, I) those of them that are still to be made; the step applies where exactly they are.
        support: (M, S) chance that all its checks speak for the cause, for each set.
    """

    cause: Ints
    shown: Bools
    front: Bools
    back: Bools
    front_access: Bools
    back_access: Bools
    repair_access: Bools
    watched: Bools
    needs: Bools
    support: Floats


def speaks_for(job: Job, check: int, cause: int, weight: Floats) -> Floats:
    """Give (S,): chance, for each set, of a result of the check that does not speak against the cause."""
    like = job.like[check]
    with_cause = weight * job.member[:, cause]
    without = weight * ~job.member[:, cause]
    if with_cause.sum() <= 0 or without.sum() <= 0:
        return np.ones(len(weight))
    present = with_cause @ like / with_cause.sum()
    absent = without @ like / without.sum()
    return np.asarray(like[:, present >= AGAINST * absent].sum(axis=1))


def make_steps(job: Job, weight: Floats, causes: Ints) -> Steps:
    """Prepare the steps for some causes; ``weight`` (S,) only says which results speak for a cause."""
    rows: list[_Row] = []
    direct = np.array([shows.any(axis=1) for shows in job.shows]) & job.usable[:, None]
    for cause in causes.tolist():
        buying = np.flatnonzero(job.buying[cause]).tolist()
        voices = {check: speaks_for(job, check, cause, weight) for check in buying[:SUBSETS_OF]}
        for first in [-1, *np.flatnonzero(direct[:, cause]).tolist()]:
            shows = np.ones(len(weight)) if first < 0 else job.like[first] @ job.shows[first][cause]
            rest = [i for i in voices if first < 0 or (i != first and not job.after[first, i])]
            for left in (part for size in range(len(rest) + 1) for part in combinations(rest, size)):
                support = np.prod([shows, *(voices[check] for check in left)], axis=0)
                rows.append((cause, first, rest, left, support))
    return _assemble(job, rows)


def _assemble(job: Job, rows: list[_Row]) -> Steps:
    """Turn rows into arrays."""
    count, checks = len(rows), len(job.checks)
    front, back, watched, needs = (np.zeros((count, checks), dtype=bool) for _ in range(4))
    for m, (cause, first, rest, left, _) in enumerate(rows):
        if first >= 0:
            front[m, first] = True
            front[m] |= job.after[first]
        watched[m, rest] = True
        needs[m, list(left)] = True
        back[m] = _with_before(job, job.buying[cause]) & ~front[m]
    cause_of = np.array([row[0] for row in rows], dtype=np.int64)
    front_access = _behind(job, front)
    back_access = _behind(job, back) & ~front_access
    return Steps(
        cause_of,
        np.array([row[1] < 0 for row in rows], dtype=bool),
        front,
        back,
        front_access,
        back_access,
        job.repair_behind[cause_of] & ~front_access & ~back_access,
        watched,
        needs,
        np.array([row[4] for row in rows], dtype=float).reshape(count, len(job.member)),
    )


def _with_before(job: Job, chosen: Bools) -> Bools:
    """Add everything that must come before the chosen checks."""
    return np.asarray(chosen | job.after[chosen].any(axis=0))


def _behind(job: Job, chosen: Bools) -> Bools:
    """Give (M, A): access that any of the chosen (M, I) checks needs."""
    return np.asarray(chosen.astype(float) @ job.behind.astype(float) > 0)
