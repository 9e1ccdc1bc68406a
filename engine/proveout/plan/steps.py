"""The steps from which a simple plan of repair is put together.

A step is: make one direct inspection of a cause; if it shows the cause, make what must be inspected before
buying; then mend. Where the cause has been shown already, the step begins at the second part.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, combinations

import numpy as np
from msgspec import Struct

from proveout.plan.moves import confidence
from proveout.plan.problem import Bools, Floats, Ints, Problem, States, indices

#: Causes that the simple plans consider, the likeliest first.
PLANNED = 40
#: Inspections before buying of one cause of which every subset is prepared; the rest count as neutral.
SUBSETS_OF = 4
#: A result speaks against a cause that makes it less than this many times as likely; what hardly depends on
#: the cause speaks neither way.
AGAINST = 0.5


class Steps(Struct, frozen=True, eq=False):
    """M steps side by side.

    Attributes:
        cause: (M,) cause that the step proves and mends.
        shown: (M,) whether the step begins with the cause already shown.
        front, back: (M, I) checks made at the start, and those made only once the cause is shown.
        front_access, back_access, repair_access: (M, A) access each part needs beyond the parts before it.
        needs: (M, I) those checks before buying, of the ones watched, that are still to be made.
        ready: (M, I) the other ones watched; the step applies where exactly these are made already.
        support: (M, S) chance that all its checks speak for the cause, for each set.
    """

    cause: Ints
    shown: Bools
    front: Bools
    back: Bools
    front_access: Bools
    back_access: Bools
    repair_access: Bools
    needs: Bools
    ready: Bools
    support: Floats


class _Draft(Struct, frozen=True):
    """A step in the making: its cause, first check or -1, checks watched, those to be made, support."""

    cause: int
    first: int
    watched: list[int]
    needs: tuple[int, ...]
    support: Floats


#: The steps made last, for situations that are known again by identity: choosing, repeating and telling what
#: an inspection is for ask for the same ones.
_RECENT: list[tuple[Problem, States, Bools, Steps]] = []
_KEPT = 2


def plan_steps(problem: Problem, state: States, usable: Bools | None = None) -> Steps:
    """Return the steps of the likeliest causes that can fit a one-row state or what follows from it.

    ``usable`` (I,) says what can be used at most; by default what is at hand.
    """
    usable = problem.usable if usable is None else usable
    for one, where, at_hand, steps in _RECENT:
        if one is problem and where is state and np.array_equal(at_hand, usable):
            return steps
    sure = confidence(problem, state)[0].round(12)
    order = np.lexsort((np.arange(len(sure)), -sure))[:PLANNED]
    causes = np.sort(order[sure[order] > 0])
    steps = make_steps(problem, state, causes, usable)
    _RECENT[:] = [(problem, state, usable.copy(), steps), *_RECENT[: _KEPT - 1]]
    return steps


def make_steps(problem: Problem, state: States, causes: Ints, usable: Bools) -> Steps:
    """Return the steps for some causes; left out are those that need what is neither made nor usable."""
    done = state.done[0]
    out_of_reach = ~done & ~usable
    needed = _with_before(problem, problem.buying)
    barred = (needed & out_of_reach).any(axis=1)
    late = (problem.after & out_of_reach).any(axis=1)
    direct = np.logical_or.reduceat(problem.shows, problem.first[:-1], axis=1) & usable & ~late
    speaking = _speaking(problem, state.weight[0], causes)
    drafts: list[_Draft] = []
    for cause, good in zip(causes.tolist(), speaking, strict=True):
        if not barred[cause]:
            buying = indices(problem.buying[cause]).tolist()
            voices = {check: _sum_of(problem, check, good) for check in buying[:SUBSETS_OF]}
            drafts += _drafts(problem, cause, indices(direct[cause]).tolist(), voices, done)
    return _assemble(problem, drafts, needed)


def speaks_for(problem: Problem, check: int, cause: int, weight: Floats) -> Floats:
    """Return (S,): chance, for each set, of a result of the check that does not speak against the cause."""
    return _sum_of(problem, check, _speaking(problem, weight, np.array([cause]))[0])


def _speaking(problem: Problem, weight: Floats, causes: Ints) -> Bools:
    """Return (causes, N): results that do not speak against each cause under the weights (S,)."""
    held = problem.sets.held.T[causes] * weight
    mass, joint = held.sum(axis=1), held @ problem.like
    left = weight.sum() - mass
    both = (mass > 0) & (left > 0)
    present = joint / np.where(both, mass, 1.0)[:, None]
    absent = (weight @ problem.like - joint) / np.where(both, left, 1.0)[:, None]
    return np.asarray((present >= AGAINST * absent) | ~both[:, None])


def _sum_of(problem: Problem, check: int, results: Bools) -> Floats:
    """Return (S,): chance, for each set, of one of some results (N,) of the check."""
    own = problem.results(check)
    return np.asarray(problem.like[:, own] @ results[own].astype(float))


def _drafts(
    problem: Problem, cause: int, direct: list[int], voices: dict[int, Floats], done: Bools
) -> Iterator[_Draft]:
    """Return the steps of one cause: for each beginning, each part of what comes before buying to be made."""
    for first in [-1, *direct]:
        shows = np.ones(len(problem.sets)) if first < 0 else _sum_of(problem, first, problem.shows[cause])
        rest = [
            check for check in voices if first < 0 or (check != first and not problem.after[first, check])
        ]
        still = [check for check in rest if not done[check]]
        for part in (part for size in range(len(still) + 1) for part in combinations(still, size)):
            support = shows
            for check in part:
                support = support * voices[check]
            yield _Draft(cause, first, rest, part, support)


def _assemble(problem: Problem, drafts: list[_Draft], needed: Bools) -> Steps:
    """Return drafts as arrays; ``needed`` (C, I) is all that must be made before each cause is mended."""
    count, checks = len(drafts), len(problem.checks)
    front, watched, needs = (np.zeros((count, checks), dtype=bool) for _ in range(3))
    cause = np.array([draft.cause for draft in drafts], dtype=np.int64)
    first = np.array([draft.first for draft in drafts], dtype=np.int64)
    begins = indices(first >= 0)
    front[begins] = problem.after[first[begins]]
    front[begins, first[begins]] = True
    _mark(watched, [draft.watched for draft in drafts])
    _mark(needs, [draft.needs for draft in drafts])
    back = needed[cause] & ~front
    front_access = _behind(problem, front)
    back_access = _behind(problem, back) & ~front_access
    return Steps(
        cause,
        first < 0,
        front,
        back,
        front_access,
        back_access,
        problem.repair_behind[cause] & ~front_access & ~back_access,
        needs,
        watched & ~needs,
        np.array([draft.support for draft in drafts], dtype=float).reshape(count, len(problem.sets)),
    )


def _mark(array: Bools, columns: Sequence[Sequence[int]]) -> None:
    """Set the named columns of each row."""
    rows = np.repeat(np.arange(len(array)), [len(own) for own in columns])
    array[rows, np.fromiter(chain.from_iterable(columns), dtype=np.int64, count=len(rows))] = True


def _with_before(problem: Problem, chosen: Bools) -> Bools:
    """Return the chosen checks (C, I) and everything that must come before them."""
    late = indices(problem.after.any(axis=1))
    before = chosen[:, late].astype(np.float32) @ problem.after[late].astype(np.float32) > 0
    return np.asarray(chosen | before)


def _behind(problem: Problem, chosen: Bools) -> Bools:
    """Return (M, A): access that any of the chosen (M, I) checks needs."""
    used = indices(chosen.any(axis=0))
    return np.asarray(chosen[:, used].astype(np.float32) @ problem.behind[used].astype(np.float32) > 0)
