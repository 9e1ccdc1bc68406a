"""The planning problem in plain numbers: sets of causes, inspections with their results, and costs.

Nothing here knows the book. Arrays run over S sets of causes, C causes, I inspections ("checks" for
short), N results of all of them side by side and A places of access. Amounts are in the user's currency.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]


class Sets(Struct, frozen=True, eq=False):
    """The sets of causes that are told apart, closed under taking one cause away.

    Attributes:
        member: (S, C) which causes a set holds; row 0 is the empty set, which no repair mends.
        ends: (C, C) which causes the remedy of each ends; itself, and others where it is one part's.
        held: (S, C) whether mending each cause takes something from a set.
        leaves: (C, S) what each set becomes once the cause is mended: itself where it holds nothing that this
            ends, S where nothing is left.
    """

    member: Bools
    ends: Bools
    held: Bools
    leaves: Ints

    def __len__(self) -> int:
        """Return how many sets there are."""
        return len(self.member)


def sets_of(member: Bools, together: Bools | None = None) -> Sets:
    """Return the sets with what is left of each when a cause is mended.

    Args:
        member: (S, C) which causes a set holds.
        together: (C, C) which causes the remedy of each ends, itself included; each its own only by default.

    Raises:
        ValueError: a set that is left is not among the sets.
    """
    count, causes = member.shape
    ends = np.eye(causes, dtype=bool) if together is None else together
    ended = [frozenset(indices(row).tolist()) for row in ends]
    held = member.astype(np.float32) @ ends.T.astype(np.float32) > 0
    found: list[tuple[int, ...]] = [() for _ in range(count)]
    for place, cause in zip(*(part.tolist() for part in member.nonzero()), strict=True):
        found[place] += (cause,)
    index = {one: place for place, one in enumerate(found)}
    index[()] = count
    leaves = np.tile(np.arange(count), (causes, 1))
    for place, cause in zip(*(part.tolist() for part in held.nonzero()), strict=True):
        left = index.get(tuple(one for one in found[place] if one not in ended[cause]))
        if left is None:
            raise ValueError(f"set {place} without cause {cause} is not among the sets")
        leaves[cause, place] = left
    return Sets(member, ends, held, leaves)


class Problem(Struct, frozen=True, eq=False):
    """What does not change while one case is worked on.

    Attributes:
        causes, checks: ids, sorted, so that the lower index wins a tie.
        sets: the sets of causes.
        like: (S, N) P(result | set), the results of one check beside each other, "normal" first.
        first: (I + 1,) column at which the results of each check begin; the last entry is N.
        shows: (C, N) whether a result shows a cause directly.
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
    sets: Sets
    like: Floats
    first: Ints
    shows: Bools
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

    def results(self, check: int) -> slice:
        """Return the columns of the results of one check."""
        return slice(int(self.first[check]), int(self.first[check + 1]))


class States(Struct, frozen=True, eq=False):
    """B situations side by side, each a row. Rows that differ in results alone share one of P histories.

    Attributes:
        weight: (B, S) mass of each set; a row need not sum to 1, so that branches can be added up.
        failed: (B, C) causes that a direct inspection has shown.
        history: (B,) which of the histories each row has.
        done: (P, I) checks made or tried; none is made twice.
        decided: (P, I) those that gave a clear result.
        open: (P, A) access already open.
    """

    weight: Floats
    failed: Bools
    history: Ints
    done: Bools
    decided: Bools
    open: Bools

    def row(self, index: int) -> States:
        """Return one row as a batch of one."""
        return self.take(np.array([index]))

    def take(self, rows: Ints) -> States:
        """Return some rows, each with a history of its own."""
        own = self.history[rows]
        return States(
            self.weight[rows],
            self.failed[rows],
            np.arange(len(rows)),
            self.done[own],
            self.decided[own],
            self.open[own],
        )

    def some(self, rows: Ints) -> States:
        """Return some rows; all histories stay."""
        weight, failed = self.weight.take(rows, axis=0), self.failed.take(rows, axis=0)
        return States(weight, failed, self.history[rows], self.done, self.decided, self.open)

    @property
    def mass(self) -> Floats:
        """(B,) total weight of each row."""
        return np.asarray(self.weight.sum(axis=1))


def indices(which: Bools | np.bool_) -> Ints:
    """Return where a vector is true: what ``np.flatnonzero`` gives, at a third of its time for short ones."""
    return np.asarray(which).nonzero()[0]


def widened(weight: Floats) -> Floats:
    """Return weights (B, S) with an empty column S at the end."""
    wide = np.zeros((len(weight), weight.shape[1] + 1))
    wide[:, :-1] = weight
    return wide


def fresh(problem: Problem, prob: Floats) -> States:
    """Return the one-row start: nothing done, nothing open, nothing shown."""
    checks, places = problem.behind.shape
    return States(
        prob[None, :].astype(float),
        np.zeros((1, len(problem.causes)), dtype=bool),
        np.zeros(1, dtype=np.int64),
        np.zeros((1, checks), dtype=bool),
        np.zeros((1, checks), dtype=bool),
        np.zeros((1, places), dtype=bool),
    )


def stack(batches: list[States]) -> States:
    """Return the rows of several batches under each other."""
    starts = np.cumsum([0, *(len(batch.done) for batch in batches)])
    return States(
        np.concatenate([batch.weight for batch in batches]),
        np.concatenate([batch.failed for batch in batches]),
        np.concatenate([batch.history + start for batch, start in zip(batches, starts, strict=False)]),
        np.concatenate([batch.done for batch in batches]),
        np.concatenate([batch.decided for batch in batches]),
        np.concatenate([batch.open for batch in batches]),
    )


def reach(direct: Bools) -> Bools:
    """Return the transitive closure of an (I, I) relation (Warshall)."""
    closed = direct.copy()
    for middle in indices(closed.any(axis=0) & closed.any(axis=1)).tolist():
        closed |= np.outer(closed[:, middle], closed[middle])
    return closed
