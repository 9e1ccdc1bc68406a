"""The planning problem in plain numbers: sets of causes, inspections with their results, and costs.

Nothing here knows the book. Arrays run over S sets of causes, C causes, I inspections ("checks" for
short), R results of one inspection and A places of access. Amounts are in the user's currency.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """What does not change while one case is worked on.

    Attributes:
        causes, checks: ids, sorted, so that the lower index wins a tie.
        member: (S, C) which causes a set holds; row 0 is the empty set, which no repair mends.
        child: (S, C) index of the set that is left when the cause is mended; S where nothing is left.
        like: for each check (S, R), P(result | set); column 0 is "normal".
        shows: for each check (C, R), whether the result shows the cause directly.
        cost: (I,) minutes and consumables of each check, access apart.
        behind: (I, A) access that each check needs.
        access: (A,) cost of opening each place.
        after: (I, I) checks that must come before, at any remove.
        buying: (C, I) checks without which a cause is not proven.
        repair: (C,) cost of mending, access apart; ``repair_behind`` (C, A) is its access.
        refer: (S,) cost of handing the case over when that set is what is wrong.
        usable: (I,) whether everything needed for the check is at hand.
        threshold: (C,) confidence from which each cause may count as proven.
    """

    causes: tuple[str, ...]
    checks: tuple[str, ...]
    member: Bools
    child: Ints
    like: tuple[Floats, ...]
    shows: tuple[Bools, ...]
    cost: Floats
    behind: Bools
    access: Floats
    after: Bools
    buying: Bools
    repair: Floats
    repair_behind: Bools
    refer: Floats
    usable: Bools
    threshold: Floats


@dataclass(frozen=True, slots=True, eq=False)
class States:
    """B situations side by side, each a row.

    Attributes:
        weight: (B, S) mass of each set; a row need not sum to 1, so that branches can be added up.
        done: (B, I) checks made or tried; none is made twice.
        decided: (B, I) those that gave a clear result.
        open: (B, A) access already open.
        failed: (B, C) causes that a direct inspection has shown.
    """

    weight: Floats
    done: Bools
    decided: Bools
    open: Bools
    failed: Bools

    def row(self, index: int) -> States:
        """Give one row as a batch of one."""
        part = slice(index, index + 1)
        return States(
            self.weight[part], self.done[part], self.decided[part], self.open[part], self.failed[part]
        )

    @property
    def mass(self) -> Floats:
        """(B,) total weight of each row."""
        return np.asarray(self.weight.sum(axis=1))


def fresh(job: Job, prob: Floats) -> States:
    """Give the one-row start: nothing done, nothing open, nothing shown."""
    checks, places = job.behind.shape
    none = np.zeros((1, checks), dtype=bool)
    return States(
        prob[None, :].astype(float),
        none,
        none.copy(),
        np.zeros((1, places), dtype=bool),
        np.zeros((1, len(job.causes)), dtype=bool),
    )


def stack(batches: list[States]) -> States:
    """Lay batches under each other."""
    return States(
        np.concatenate([batch.weight for batch in batches]),
        np.concatenate([batch.done for batch in batches]),
        np.concatenate([batch.decided for batch in batches]),
        np.concatenate([batch.open for batch in batches]),
        np.concatenate([batch.failed for batch in batches]),
    )


def children(member: Bools) -> Ints:
    """Give (S, C): the index of each set without each cause; S where that leaves nothing.

    The sets must be closed under taking one cause away.

    Raises:
        ValueError: a set is missing.
    """
    index = {row.tobytes(): place for place, row in enumerate(member)}
    result = np.tile(np.arange(len(member))[:, None], (1, member.shape[1]))
    for place, cause in zip(*np.nonzero(member), strict=True):
        rest = member[place].copy()
        rest[cause] = False
        if not rest.any():
            result[place, cause] = len(member)
        elif rest.tobytes() in index:
            result[place, cause] = index[rest.tobytes()]
        else:
            raise ValueError(f"set {place} without cause {cause} is not among the sets")
    return result


def reach(direct: Bools) -> Bools:
    """Give the transitive closure of an (I, I) relation (Warshall)."""
    closed = direct.copy()
    for middle in range(len(closed)):
        closed |= np.outer(closed[:, middle], closed[middle])
    return closed
