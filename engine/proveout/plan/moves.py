"""What can happen in a planning problem: an inspection gives a result, a repair works or does not."""

from __future__ import annotations

import numpy as np

from proveout.plan.problem import Bools, Floats, Ints, Problem, States, indices, widened

#: Slack when a confidence is held against the threshold, for rounding in the last digits.
SLACK = 1e-12


def prices(problem: Problem, states: States) -> Floats:
    """Return (P, I): what each check costs now: its own cost and opening what is still shut."""
    shut = np.where(states.open, 0.0, problem.access)
    return np.asarray(problem.cost + shut @ problem.behind.T)


def price(problem: Problem, states: States, check: int) -> Floats:
    """Return (B,): what one check costs now."""
    shut = ~states.open & problem.behind[check]
    return np.asarray(problem.cost[check] + shut @ problem.access)[states.history]


def ready(problem: Problem, states: States) -> Bools:
    """Return (P, I): checks that can be made next; at hand, not yet made, everything before them made."""
    return makeable(problem, states) & problem.usable


def makeable(problem: Problem, states: States) -> Bools:
    """Return (P, I): checks that could be made next if everything were at hand."""
    late = indices(problem.after.any(axis=1))
    can = ~states.done
    can[:, late] &= ~((~states.done).astype(float) @ problem.after[late].T > 0)
    return can


def inspect(problem: Problem, states: States, check: int) -> States:
    """Return the states after each result of the check, row by row: B x R rows, results running fastest."""
    own = problem.results(check)
    count = own.stop - own.start
    weight = states.weight[:, None, :] * problem.like.T[None, own, :]
    done, decided = states.done.copy(), states.decided.copy()
    done[:, check] = True
    decided[:, check] = True
    return States(
        weight.reshape(-1, weight.shape[2]),
        np.repeat(states.failed, count, axis=0) | np.tile(problem.shows.T[own], (len(states.weight), 1)),
        np.repeat(states.history, count),
        done,
        decided,
        states.open | problem.behind[check],
    )


def results_of(problem: Problem, checks: Ints) -> tuple[Ints, Ints]:
    """Return the columns of all results of some checks, one after the other, and which check each is of."""
    count = problem.first[checks + 1] - problem.first[checks]
    owner = np.repeat(np.arange(len(checks)), count)
    return np.arange(len(owner)) - np.repeat(np.cumsum(count) - problem.first[checks + 1], count), owner


def inspect_each(problem: Problem, states: States, rows: Ints, checks: Ints) -> tuple[States, Ints]:
    """Return the states after each result of a check made in a row, for several pairs of row and check.

    Returns:
        The states, one history a pair, and (B,) the pair of each row.
    """
    column, pair = results_of(problem, checks)
    made = np.zeros((len(checks), len(problem.checks)), dtype=bool)
    made[np.arange(len(checks)), checks] = True
    before = states.history[rows]
    after = States(
        states.weight.take(rows[pair], axis=0) * problem.like.T.take(column, axis=0),
        states.failed.take(rows[pair], axis=0) | problem.shows.T.take(column, axis=0),
        pair,
        states.done[before] | made,
        states.decided[before] | made,
        states.open[before] | problem.behind[checks],
    )
    return after, pair


def mend(problem: Problem, states: States, cause: int) -> States:
    """Return the states in which the repair of a cause has not ended the trouble; other mass is gone.

    Sets that held what this ends go over to what is left of them; sets that did not are as before.
    """
    weight = widened(np.zeros_like(states.weight))
    np.add.at(weight.T, problem.sets.leaves[cause], states.weight.T)
    weight = weight[:, :-1]
    failed = states.failed & ~problem.sets.ends[cause]
    opened = states.open | problem.repair_behind[cause]
    return States(weight, failed, states.history, states.done, states.decided, opened)


def confidence(problem: Problem, states: States) -> Floats:
    """Return (B, C): probability that each cause is present."""
    mass = np.maximum(states.mass, 1e-300)
    return np.asarray(states.weight @ problem.sets.member / mass[:, None])


def proven(problem: Problem, states: States) -> Bools:
    """Return (B, C): causes that may be mended: likely enough, shown, all inspected before buying."""
    missing = (~states.decided).astype(float) @ problem.buying.T.astype(float) > 0
    mass = np.maximum(states.mass, 1e-300)[:, None]
    sure = states.weight @ problem.sets.held / mass >= problem.threshold - SLACK
    return np.asarray(sure & states.failed & ~missing[states.history])


def repair_price(problem: Problem, states: States, cause: int) -> Floats:
    """Return (B,): what mending the cause costs now, opening what is still shut included."""
    shut = ~states.open & problem.repair_behind[cause]
    return np.asarray(problem.repair[cause] + shut @ problem.access)[states.history]
