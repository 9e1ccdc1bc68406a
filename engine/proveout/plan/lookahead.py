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

import numpy as np
from msgspec import Struct

from proveout.plan.ecr import expected_cost, planned
from proveout.plan.moves import (
    confidence,
    inspect_each,
    mend,
    prices,
    proven,
    ready,
    repair_price,
    results_of,
)
from proveout.plan.outlook import LIKELY, WORTH, Extensions, Outlook, least_cost, most_gain, survey
from proveout.plan.problem import Floats, Ints, Problem, States, indices, stack
from proveout.plan.steps import Steps, plan_steps

#: Inspections that are looked at one further.
LEADING = 4
#: Second inspections tried behind each result of a leading one.
SECOND = 12
#: Values closer than this share of the price of handing over are as good as equal: the plan is a yardstick,
#: not a prophecy. Among them the inspection goes first that is likeliest to show a fault, and tells most, for
#: its price (chance over price: Simon and Kadane 1975).
NOISE = 0.03
#: Most further checks that are listed besides the next one.
OTHERS = 5


class Choice(Struct, frozen=True):
    """What the lookahead found.

    Attributes:
        check: index of the inspection to make next, or -1 to stop.
        mend: index of the cause to mend, or -1; where both are -1, the case is best handed over.
        stop: expected cost of the best way to stop now.
        values: for each check that was valued, the expected cost of beginning with it.
        others: further checks that are better than stopping and whose results would help, best first.
        least: the least expected cost by the simple plan, begun with anything that can be made next.
        extended: as in ``Outlook``.
        refer: expected cost of handing over now.
        chance: (I,) chance that each check directly shows a cause that is there.
    """

    check: int
    mend: int
    stop: float
    values: dict[int, float]
    others: tuple[int, ...]
    least: float
    extended: dict[int, tuple[float, dict[int, float]]]
    refer: float
    chance: Floats


def choose(
    problem: Problem,
    state: States,
    may_mend: Ints | None = None,
    more: Extensions | None = None,
    *,
    brief: bool = False,
) -> Choice:
    """Choose the next move for a one-row state; ties go to stopping, then to the lower index.

    What is proven is mended unless going on saves more than what counts as near: noise is no reason to wait.

    Args:
        problem: the problem.
        state: where it stands.
        may_mend: the causes that count as proven, where that is not to be found out here.
        more: what would make more checks usable, to be valued beside.
        brief: list no further checks.
    """
    usable = problem.usable if more is None else problem.usable | more.usable.any(axis=0)
    outlook = survey(problem, state, plan_steps(problem, state, usable), more)
    near = NOISE * outlook.refer
    stop, cause = _stop(outlook, may_mend)
    values = _further(outlook, _worth(outlook, near), [] if brief else _asked(outlook, stop))
    values.update({check: min(values[check], outlook.plan) for check in outlook.own})
    margin = near if cause >= 0 else WORTH * outlook.mass
    best = best_of(outlook, {c: value for c, value in values.items() if value < stop - margin})
    least = min([outlook.plan, *outlook.values.values()])
    every = {**outlook.values, **values}
    useful = [] if brief else _useful(outlook, every, stop)
    others = tuple(check for check in useful if check != best)[:OTHERS]
    return Choice(
        best,
        -1 if best >= 0 else cause,
        stop,
        every,
        others,
        least,
        outlook.extended,
        outlook.refer,
        outlook.chance,
    )


def _worth(outlook: Outlook, near: float) -> dict[int, float]:
    """Return the values of the checks that count: the plan's own, and those that beat it or come near."""
    own, plan, price = outlook.own, outlook.plan, outlook.price
    dearest = max((float(price[check]) for check in own), default=0.0)

    def counts(check: int, value: float) -> bool:
        fair = price[check] <= dearest and outlook.chance[check] > LIKELY
        return not own or check in own or value < plan + (near if fair else -WORTH * outlook.mass)

    return {check: value for check, value in outlook.values.items() if counts(check, value)}


def best_of(outlook: Outlook, values: dict[int, float]) -> int:
    """Return the check to make: of those near the best value the most useful for its price; -1 for none.

    The plan promises more than its own first inspection keeps; what that tells counts for nothing at least.
    """
    if not values:
        return -1
    limit = min(values.values()) + NOISE * outlook.refer
    near = sorted(check for check, value in values.items() if value <= limit)

    def worth(check: int) -> float:
        use = float(outlook.chance[check]) + max(outlook.gain(check), 0.0) / outlook.refer
        return round(use / max(float(outlook.price[check]), WORTH), 9)

    return max(near, key=lambda check: (worth(check), -round(values[check], 9), -check))


def _stop(outlook: Outlook, may_mend: Ints | None) -> tuple[float, int]:
    """Return the cheapest way to stop: its expected cost, and the cause to mend or -1 for handing over."""
    problem, state = outlook.problem, outlook.state
    sound = indices(proven(problem, state)[0]) if may_mend is None else may_mend
    if not sound.size:
        return outlook.refer, -1
    likeliest = int(sound[confidence(problem, state)[0, sound].round(9).argmax()])
    cost = mended_cost(problem, state, likeliest, outlook.steps)
    return (cost, likeliest) if cost <= outlook.refer else (outlook.refer, -1)


def mended_cost(problem: Problem, state: States, cause: int, steps: Steps | None = None) -> float:
    """Return what a one-row state costs if a cause is mended first and what is left gone on with."""
    after = mend(problem, state, cause)
    onward = survey(problem, after, steps if steps is not None else plan_steps(problem, state))
    cost = float(repair_price(problem, state, cause)[0]) * float(state.mass[0])
    return cost + min([onward.plan, *onward.values.values()])


def _useful(outlook: Outlook, values: dict[int, float], stop: float) -> list[int]:
    """Return the checks that are better than stopping and whose results would help, best first."""
    useful = [c for c, value in values.items() if value < stop - WORTH and outlook.gain(c) > WORTH]
    return sorted(useful, key=lambda check: (round(values[check], 9), check))


def _asked(outlook: Outlook, stop: float) -> list[int]:
    """Return the checks not valued yet that could be among the most useful."""
    useful = _useful(outlook, outlook.values, stop)
    most = outlook.values[useful[OTHERS]] if len(useful) > OTHERS else stop - WORTH
    return sorted(check for check, floor in outlook.floors.items() if floor <= most)


def _further(outlook: Outlook, worth: dict[int, float], asked: list[int]) -> dict[int, float]:
    """Return the value of each check that counts, the leading ones looked at one further.

    The plan's own first ones are always among the leading. What is ``asked`` for is valued on the way.
    """
    problem, state, values = outlook.problem, outlook.state, dict(worth)
    ranked = sorted(values, key=lambda check: (round(values[check], 9), check))
    leading = [*ranked[:LEADING], *(check for check in ranked[LEADING:] if check in outlook.own)]
    checks = np.array([*leading, *asked], dtype=np.int64)
    if not len(checks):
        return values
    leaves, owner = inspect_each(problem, state, np.zeros(len(checks), dtype=np.int64), checks)
    known = np.concatenate([outlook.behind[check] for check in leading] or [np.zeros(0)])
    best = _best_onward(outlook, leaves, results_of(problem, checks)[0], known, ranked[:SECOND])
    onward = np.bincount(owner, best, len(checks)) + outlook.price[checks] * outlook.mass
    outlook.values.update(zip(asked, onward[len(leading) :].tolist(), strict=True))
    return values | {c: min(values[c], float(v)) for c, v in zip(leading, onward, strict=False)}


def _best_onward(outlook: Outlook, leaves: States, seen: Ints, known: Floats, seconds: list[int]) -> Floats:
    """Return (B,): for each leaf the cost of its plan, or of one more check and then the plan if less.

    The cost of the plan is ``known`` of the first leaves; behind these one check more is tried. ``seen`` (B,)
    are the results behind which the leaves are. Two results that are come to in either order are worked
    through once.
    """
    problem, count = outlook.problem, len(known)
    rows, checks = _pairs(outlook, leaves.take(np.arange(count)), known, seconds)
    after, pair = inspect_each(problem, leaves, rows, checks)
    one, other = seen[rows[pair]], results_of(problem, checks)[0]
    both = np.minimum(one, other) * problem.first[-1] + np.maximum(one, other)
    _, once, which = np.unique(both, return_index=True, return_inverse=True)
    new = leaves.take(np.arange(count, len(leaves.weight)))
    cost = expected_cost(problem, outlook.steps, stack([new, after.some(once)]))
    best = np.concatenate([known, cost[: len(new.weight)]])
    own = prices(problem, leaves)[leaves.history[rows], checks] * leaves.mass[rows]
    np.minimum.at(best, rows, own + np.bincount(pair, cost[len(new.weight) :][which], len(checks)))
    return best


def _pairs(outlook: Outlook, leaves: States, known: Floats, seconds: list[int]) -> tuple[Ints, Ints]:
    """Return the leaves, each with a history of its own, and the checks to try behind each of them.

    Tried are the ``seconds`` and what has to wait for others. Left out is what cannot pay there: not even if
    the set of causes were known after it, or since its results move little and the plan has no use for it.
    """
    problem, steps = outlook.problem, outlook.steps
    tried = np.asarray(problem.after.any(axis=1))
    tried[seconds] = True
    mass = leaves.mass[:, None]
    room = (known - leaves.weight @ least_cost(problem, steps))[:, None] - prices(problem, leaves) * mass
    may, use = ready(problem, leaves) & tried & (room > 0), planned(problem, steps, leaves)
    asked = np.asarray((may & ~use).any(axis=0))
    pays = use | (most_gain(problem, leaves, asked) > problem.cost * mass)
    rows, checks = (may & pays).nonzero()
    return rows, checks
