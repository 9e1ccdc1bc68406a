"""Looking ahead: what is best done next.

Each inspection is valued at its own cost plus, over its results, the expected cost of repair; the leading
ones are looked at one inspection further. Against them stand the two ways to stop: handing the case over,
and mending a cause that is proven.

The plan is a promise: it takes causes that rest on one inspection as if they were independent, and so may
cost less than its own first inspection then delivers. An inspection outside the plan must therefore beat the
plan as promised, or come near it with a fair chance of showing a fault and at no higher price than the plan's
own first one, which counts at no more than the plan; otherwise a cheap inspection that tells nothing would
look free, and the deciding one would be put off again and again.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from proveout.plan.ecr import expected_cost, first_checks
from proveout.plan.job import Bools, Floats, Ints, Job, States, stack
from proveout.plan.move import confidence, inspect, mend, price, proven, ready, repair_price
from proveout.plan.plans import Steps, make_steps

#: Inspections that are looked at one further.
LEADING = 4
#: Second inspections tried behind each result of a leading one.
SECOND = 12
#: Causes that the cheap plans consider, the likeliest first.
PLANNED = 40
#: A saving smaller than this (in the user's currency) is none.
WORTH = 0.01
#: Values closer than this share of the price of handing over are as good as equal: the plan is a yardstick,
#: not a prophecy. Among them the inspection goes first that is likeliest to show a fault, and tells most, for
#: its price (chance over price: Simon and Kadane 1975).
NOISE = 0.03

#: An inspection with this chance of showing a fault is no idle one.
LIKELY = 0.05


@dataclass(frozen=True, slots=True)
class Choice:
    """What the lookahead found.

    Attributes:
        check: index of the inspection to make next, or -1 to stop.
        mend: index of the cause to mend, or -1; where both are -1, the case is best handed over.
        stop: expected cost of the best way to stop now.
        values: for each check that can be made next, the expected cost of beginning with it.
        gains: for each of them, by how much its results alone would cheapen the simple plan.
    """

    check: int
    mend: int
    stop: float
    values: dict[int, float]
    gains: dict[int, float]


def choose(job: Job, state: States, may_mend: Ints | None = None) -> Choice:
    """Choose the next move for a one-row state; ties go to stopping, then to the lower index.

    What is proven is mended unless going on saves more than what counts as near: noise is no reason to wait.

    ``may_mend`` overrides which causes count as proven.
    """
    steps = plan_steps(job, state)
    first = first_look(job, steps, state)
    plan = float(expected_cost(job, steps, state)[0])
    mass = float(state.mass[0])
    own = set(first_checks(job, steps, state).tolist()) & first.keys()
    near = NOISE * float(state.weight[0] @ job.refer)
    dearest = max((float(price(job, state, check)[0]) for check in own), default=0.0)

    def counts(check: int, value: float) -> bool:
        fair = price(job, state, check)[0] <= dearest and _chance(job, state, check) > LIKELY
        return not own or check in own or value < plan + (near if fair else -WORTH * mass)

    worth = {check: value for check, value in first.items() if counts(check, value)}
    values = look(job, steps, state, worth, own)
    values.update({check: min(values[check], plan) for check in own})
    stop, cause = _stop(job, steps, state, may_mend)
    gains = {
        check: plan - value + float(price(job, state, check)[0]) * mass for check, value in first.items()
    }
    margin = near if cause >= 0 else WORTH * mass
    best = _pick(job, state, {c: value for c, value in values.items() if value < stop - margin}, gains)
    if best >= 0:
        return Choice(best, -1, stop, {**first, **values}, gains)
    return Choice(-1, cause, stop, {**first, **values}, gains)


def _pick(job: Job, state: States, values: dict[int, float], gains: dict[int, float]) -> int:
    """Give the check to make: of those near the best value the most useful for its price, or -1 for none."""
    if not values:
        return -1
    refer = float(state.weight[0] @ job.refer)
    limit = min(values.values()) + NOISE * refer
    near = sorted(check for check, value in values.items() if value <= limit)

    def worth(check: int) -> float:
        use = _chance(job, state, check) + gains[check] / refer
        return round(use / max(float(price(job, state, check)[0]), WORTH), 9)

    return max(near, key=lambda check: (worth(check), -values[check], -check))


def _chance(job: Job, state: States, check: int) -> float:
    """Give the chance that the check directly shows a cause that is there.

    An abnormal result that shows no cause directly does not count: it only moves the question.
    """
    shown = job.member.astype(float) @ job.shows[check].astype(float) > 0
    return float(state.weight[0] @ (job.like[check] * shown).sum(axis=1)) / float(state.mass[0])


def _stop(job: Job, steps: Steps, state: States, may_mend: Ints | None) -> tuple[float, int]:
    """Give the cheapest way to stop: its expected cost, and the cause to mend or -1 for handing over."""
    stop = float(state.weight[0] @ job.refer)
    sound = np.flatnonzero(proven(job, state)[0]) if may_mend is None else may_mend
    if not sound.size:
        return stop, -1
    likeliest = int(sound[confidence(job, state)[0, sound].round(9).argmax()])
    cost = mend_value(job, steps, state, likeliest)
    return (cost, likeliest) if cost <= stop else (stop, -1)


def plan_steps(job: Job, state: States) -> Steps:
    """Prepare the steps of the likeliest causes."""
    sure = confidence(job, state)[0].round(12)
    order = np.lexsort((np.arange(len(sure)), -sure))[:PLANNED]
    return make_steps(job, state.weight[0], np.sort(order[sure[order] > 0]))


def mend_value(job: Job, steps: Steps, state: States, cause: int) -> float:
    """Give the expected cost of mending the cause now and, where that does not end it, going on."""
    after = mend(job, state, cause)
    onward = [float(expected_cost(job, steps, after)[0]), *first_look(job, steps, after).values()]
    return float(repair_price(job, state, cause)[0] * state.mass[0]) + min(onward)


def look(job: Job, steps: Steps, state: States, first: dict[int, float], own: set[int]) -> dict[int, float]:
    """Give the value of each check that can be made next, the leading ones of the first look one further.

    The plan's ``own`` first ones are always among the leading.
    """
    values = dict(first)
    ranked = sorted(values, key=lambda check: (round(values[check], 9), check))
    leading = [*ranked[:LEADING], *(check for check in ranked[LEADING:] if check in own)]
    if not leading:
        return values
    leaves = [inspect(job, state, check) for check in leading]
    heads = np.repeat(np.arange(len(leading)), [len(leaf.weight) for leaf in leaves])
    best = _best_onward(job, steps, stack(leaves), ranked[:SECOND])
    onward = np.bincount(heads, best, len(leading))
    for place, check in enumerate(leading):
        cost = float(price(job, state, check)[0] * state.mass[0])
        values[check] = min(values[check], cost + float(onward[place]))
    return values


def first_look(job: Job, steps: Steps, state: States, only: Bools | None = None) -> dict[int, float]:
    """Give, for each check that can be made next, its cost plus the expected cost over its results.

    ``only`` (I,) leaves the others out.
    """
    can = ready(job, state)[0]
    checks = np.flatnonzero(can if only is None else can & only).tolist()
    if not checks:
        return {}
    leaves = [inspect(job, state, check) for check in checks]
    cost = expected_cost(job, steps, stack(leaves))
    ends = np.cumsum([len(leaf.weight) for leaf in leaves])
    sums = [float(part.sum()) for part in np.split(cost, ends[:-1])]
    mass = float(state.mass[0])
    return {c: float(price(job, state, c)[0]) * mass + s for c, s in zip(checks, sums, strict=True)}


def _best_onward(job: Job, steps: Steps, leaves: States, seconds: list[int]) -> Floats:
    """Give (B,): for each leaf the least of its plan and of one more check and then the plan."""
    best = expected_cost(job, steps, leaves)
    can = ready(job, leaves)
    freed = np.flatnonzero(can.any(axis=0) & job.after.any(axis=1)).tolist()
    rows: list[States] = []
    owners: list[Ints] = []
    costs: list[Floats] = []
    for check in sorted({*seconds, *freed}):
        which = np.flatnonzero(can[:, check])
        if not which.size:
            continue
        part = _take(leaves, which)
        rows.append(inspect(job, part, check))
        owners.append(which)
        costs.append(price(job, part, check) * part.mass)
    if not rows:
        return best
    values = expected_cost(job, steps, stack(rows))
    start = 0
    for part, which, own in zip(rows, owners, costs, strict=True):
        mine = values[start : start + len(part.weight)].reshape(len(which), -1).sum(axis=1)
        best[which] = np.minimum(best[which], own + mine)
        start += len(part.weight)
    return best


def _take(states: States, which: Ints) -> States:
    """Give some rows."""
    return States(
        states.weight[which],
        states.done[which],
        states.decided[which],
        states.open[which],
        states.failed[which],
    )
