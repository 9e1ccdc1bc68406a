"""What can happen in a planning problem: an inspection gives a result, a repair works or does not."""

from __future__ import annotations

import numpy as np

from proveout.plan.job import Bools, Floats, Job, States

#: Slack when a confidence is held against the threshold, for rounding in the last digits.
SLACK = 1e-12


def price(job: Job, states: States, check: int) -> Floats:
    """Give (B,) what the check costs now: its own cost and opening what is still shut."""
    shut = ~states.open & job.behind[check]
    return np.asarray(job.cost[check] + shut @ job.access)


def ready(job: Job, states: States) -> Bools:
    """Give (B, I): checks that can be made next; at hand, not yet made, everything before them made."""
    waiting = (~states.done).astype(float) @ job.after.T.astype(float) > 0
    return np.asarray(job.usable & ~states.done & ~waiting)


def inspect(job: Job, states: States, check: int) -> States:
    """Give the states after each result of the check, row by row: B x R rows, results running fastest."""
    like, shows = job.like[check], job.shows[check]
    results = like.shape[1]
    weight = (states.weight[:, None, :] * like.T[None, :, :]).reshape(-1, like.shape[0])

    def spread(part: Bools) -> Bools:
        return np.repeat(part, results, axis=0)

    done, decided = spread(states.done), spread(states.decided)
    done[:, check] = True
    decided[:, check] = True
    failed = spread(states.failed) | np.tile(shows.T, (len(states.weight), 1))
    return States(weight, done, decided, spread(states.open | job.behind[check]), failed)


def mend(job: Job, states: States, cause: int) -> States:
    """Give the states in which the repair of a cause has not ended the trouble; the rest of the mass is gone.

    Sets that held the cause go over to what is left of them; sets that did not are as before.
    """
    weight = np.zeros((len(states.weight), len(job.member) + 1))
    for source, target in enumerate(job.child[:, cause].tolist()):
        weight[:, target] += states.weight[:, source]
    opened = states.open | job.repair_behind[cause]
    failed = states.failed.copy()
    failed[:, cause] = False
    return States(weight[:, :-1], states.done, states.decided, opened, failed)


def confidence(job: Job, states: States) -> Floats:
    """Give (B, C): probability that each cause is present."""
    mass = np.maximum(states.mass, 1e-300)
    return np.asarray(states.weight @ job.member / mass[:, None])


def proven(job: Job, states: States) -> Bools:
    """Give (B, C): causes that may be mended: likely enough, shown directly, all inspected before buying."""
    missing = (~states.decided).astype(float) @ job.buying.T.astype(float) > 0
    sure = confidence(job, states) >= job.threshold - SLACK
    return np.asarray(sure & states.failed & ~missing)


def repair_price(job: Job, states: States, cause: int) -> Floats:
    """Give (B,) what mending the cause costs now, opening what is still shut included."""
    shut = ~states.open & job.repair_behind[cause]
    return np.asarray(job.repair[cause] + shut @ job.access)
