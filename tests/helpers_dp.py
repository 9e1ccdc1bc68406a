"""Random troubleshooting problems, their exact optimum by dynamic programming, and the cost of a policy.

A policy maps a one-row state to a move: ("check", i), ("mend", c) or ("refer", -1). Its expected cost is
summed over every branch exactly; nothing is sampled.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, pairwise
from operator import mul
from typing import Any

import numpy as np

from proveout.plan.lookahead import choose
from proveout.plan.moves import confidence, inspect, mend, price, proven, ready, repair_price
from proveout.plan.problem import Floats, Problem, States, fresh, reach, sets_of

Move = tuple[str, int]
Policy = Callable[[Problem, States], Move]

#: Branches lighter than this are not followed.
NEGLIGIBLE = 1e-9


def random_job(
    seed: int, causes: int = 0, checks: int = 0, at_once: int = 0, *, parts: bool = False
) -> tuple[Problem, States]:
    """Return a random problem and its start; sizes of 0 are drawn (up to 6 causes, 6 checks, sets of 3).

    Costs have the magnitudes of the shipped book, over their whole range: an inspection 0.5 to 25, access 0.2
    to 10, a repair 5 to 250, handing over 80 to 300, in half of the problems with the repair on top. With
    ``parts`` the first two causes are faults of one part, which costs the same for both.
    """
    rng = np.random.default_rng(seed)
    c = causes or int(rng.integers(2, 7))
    i = checks or int(rng.integers(2, 7))
    k = at_once or int(rng.integers(1, 4))
    member = every_set(c, k)
    prior = rng.uniform(0.002, 0.06, c)
    prob = np.where(member, prior / (1 - prior), 1.0).prod(axis=1)
    seen = 1 - np.where(member, 1 - rng.uniform(0.3, 0.98, c), 1.0).prod(axis=1) * (1 - 0.001)
    prob = prob * seen / (prob * seen).sum()
    like, shows = _results(rng, member, i)
    places = int(rng.integers(0, 4))
    repair = np.exp(rng.uniform(np.log(5), np.log(250), c))
    together = np.eye(c, dtype=bool)
    if parts:
        together[:2, :2], repair[1] = True, repair[0]
    refer = np.full(len(member), rng.uniform(80, 300)) + (member @ repair if rng.random() < 0.5 else 0.0)
    before = np.triu(rng.random((i, i)) < 0.06, 1).T
    job = Problem(
        causes=tuple(f"cause-{n}" for n in range(c)),
        checks=tuple(f"check-{n}" for n in range(i)),
        sets=sets_of(member, together),
        **beside(like, shows),
        cost=np.exp(rng.uniform(np.log(0.5), np.log(25), i)),
        behind=rng.random((i, places)) < 0.4,
        access=np.exp(rng.uniform(np.log(0.2), np.log(10), places)),
        after=reach(before),
        buying=rng.random((c, i)) < 0.15,
        repair=repair,
        repair_behind=rng.random((c, places)) < 0.4,
        refer=refer,
        usable=rng.random(i) < 0.95,
        threshold=np.full(c, rng.uniform(0.8, 0.95)),
    )
    return job, fresh(job, prob)


def every_set(causes: int, at_once: int) -> np.ndarray:
    """Return (S, C): every set of up to so many causes, the empty one first."""
    sets = [part for size in range(at_once + 1) for part in combinations(range(causes), size)]
    return np.array([[n in part for n in range(causes)] for part in sets], dtype=bool)


def beside(like: Sequence[Floats], shows: Sequence[np.ndarray]) -> dict[str, Any]:
    """Return the results of checks, each (S, R) and (C, R), side by side as a problem holds them."""
    first = np.cumsum([0, *(part.shape[1] for part in like)])
    return {"like": np.hstack(like), "shows": np.hstack(shows), "first": first}


def _results(rng: np.random.Generator, member: np.ndarray, checks: int) -> tuple[Any, Any]:
    """Draw the results of each check: direct tests of one to three causes, and some that only hint."""
    causes = member.shape[1]
    like, shows = [], []
    for number in range(checks):
        aims = rng.permutation(causes)[: int(rng.integers(1, 4))]
        if number < causes:
            aims = np.unique(np.append(aims[:-1], number))
        states = int(rng.integers(1, 3))
        rate = np.zeros((causes + 1, states))
        rate[0] = -np.log1p(-rng.uniform(0.003, 0.06, states))
        proof = np.zeros((causes, states + 1), dtype=bool)
        for cause in aims:
            state = int(rng.integers(states))
            rate[cause + 1, state] = -np.log1p(-rng.uniform(0.7, 0.99))
            proof[cause, state + 1] = number < causes or rng.random() < 0.7
        like.append(answer(rate, member))
        shows.append(proof)
    return tuple(like), tuple(shows)


def answer(rate: np.ndarray, member: np.ndarray) -> Floats:
    """Return (S, 1 + states) from rates (1 + causes, states), background first: the multi-state noisy-OR."""
    per_state = rate[0] + member @ rate[1:]
    total = per_state.sum(axis=1, keepdims=True)
    share = np.divide(per_state, total, out=np.zeros_like(per_state), where=total > 0)
    return np.hstack([np.exp(-total), share * -np.expm1(-total)])


def optimum(job: Problem, start: States) -> float:
    """Return the least expected cost from the start, by recursion over every state that can be reached."""
    return _Optimum(job).value(
        tuple(start.weight[0].tolist()),
        *(_bits(part[0]) for part in (start.failed, start.done, start.decided, start.open)),
    )


class _Optimum:
    """The recursion, written out in plain numbers, apart from the planner's own moves.

    A state is the mass of each set and, as bits, the causes shown, the checks done, those decided, the places
    open.
    """

    def __init__(self, job: Problem) -> None:
        self.known = dict[tuple[object, ...], float]()
        self.refer: list[float] = job.refer.tolist()
        self.access: list[float] = job.access.tolist()
        self.columns = [tuple(column) for column in job.like.T.tolist()]
        self.shows = [_bits(column) for column in job.shows.T]
        self.results = [range(*ends) for ends in pairwise(job.first.tolist())]
        self.repair, self.cost = job.repair.tolist(), job.cost.tolist()
        self.leaves, self.threshold = job.sets.leaves.tolist(), job.threshold.tolist()
        self.behind, self.after = [_bits(row) for row in job.behind], [_bits(row) for row in job.after]
        self.held = [np.flatnonzero(column).tolist() for column in job.sets.held.T]
        self.ends, self.buying = [_bits(row) for row in job.sets.ends], [_bits(row) for row in job.buying]
        self.repair_behind = [_bits(row) for row in job.repair_behind]
        self.usable = np.flatnonzero(job.usable).tolist()

    def value(self, weight: tuple[float, ...], *bits: int) -> float:
        """Return the least expected cost from a state, times its mass."""
        mass = sum(weight)
        if mass < NEGLIGIBLE:
            return 0.0
        key = (tuple([round(one / mass, 10) for one in weight]), bits)
        if key not in self.known:
            self.known[key] = min(self.costs(weight, mass, *bits)) / mass
        return self.known[key] * mass

    def costs(
        self, weight: tuple[float, ...], mass: float, failed: int, done: int, decided: int, opened: int
    ) -> Iterator[float]:
        """Yield what each move costs with the best that can follow it."""
        yield sum(map(mul, weight, self.refer))
        for cause, whole in enumerate(self.repair):
            shown = failed >> cause & 1 and not self.buying[cause] & ~decided
            sure = sum(weight[one] for one in self.held[cause]) / mass
            if shown and sure >= self.threshold[cause] - 1e-12:
                own = (whole + self._opening(self.repair_behind[cause], opened)) * mass
                left, open_now = failed & ~self.ends[cause], opened | self.repair_behind[cause]
                yield own + self.value(self._mended(weight, cause), left, done, decided, open_now)
        for check in self.usable:
            if done >> check & 1 or self.after[check] & ~done:
                continue
            own = (self.cost[check] + self._opening(self.behind[check], opened)) * mass
            made, open_now = 1 << check, opened | self.behind[check]
            yield own + sum(
                self.value(
                    tuple(map(mul, weight, self.columns[result])),
                    failed | self.shows[result],
                    done | made,
                    decided | made,
                    open_now,
                )
                for result in self.results[check]
            )

    def _opening(self, places: int, opened: int) -> float:
        return sum(cost for place, cost in enumerate(self.access) if places & ~opened & 1 << place)

    def _mended(self, weight: tuple[float, ...], cause: int) -> tuple[float, ...]:
        left = [0.0] * (len(weight) + 1)
        for mass, goal in zip(weight, self.leaves[cause], strict=True):
            left[goal] += mass
        return tuple(left[:-1])


def _bits(row: np.ndarray) -> int:
    return sum(1 << place for place in np.flatnonzero(row).tolist())


def follow(job: Problem, start: States, policy: Policy) -> float:
    """Return the expected cost of a policy from the start, over every branch."""
    state, mass = start, float(start.mass[0])
    if mass < NEGLIGIBLE:
        return 0.0
    kind, index = policy(job, state)
    if kind == "refer":
        return float(state.weight[0] @ job.refer)
    if kind == "mend":
        return float(repair_price(job, state, index)[0]) * mass + follow(job, mend(job, state, index), policy)
    after = inspect(job, state, index)
    branches = sum(follow(job, after.row(r), policy) for r in range(len(after.weight)))
    return float(price(job, state, index)[0]) * mass + branches


def ours(job: Problem, state: States) -> Move:
    """Follow the planner under test; what it would list besides is read by nobody here."""
    choice = choose(job, state, brief=True)
    if choice.check >= 0:
        return "check", choice.check
    return ("mend", choice.mend) if choice.mend >= 0 else ("refer", -1)


def likeliest_part(job: Problem, state: States) -> Move:
    """Replace the likeliest part, then the next likeliest; hand over when none is left."""
    sure = confidence(job, state)[0].round(9)
    return ("mend", int(sure.argmax())) if sure.max() > 0 else ("refer", -1)


def _until_proven(job: Problem, state: States, order: Callable[[int], float]) -> Move:
    """Mend what is proven; else make the check that comes first in the order; else hand over."""
    sound = np.flatnonzero(proven(job, state)[0])
    if sound.size:
        return "mend", int(sound[confidence(job, state)[0, sound].argmax()])
    can = np.flatnonzero(ready(job, state)[0]).tolist()
    return ("check", min(can, key=lambda check: (order(check), check))) if can else ("refer", -1)


def cheapest_check(job: Problem, state: States) -> Move:
    """Make the cheapest check first."""
    return _until_proven(job, state, lambda check: float(price(job, state, check)[0]))


def most_information(job: Problem, state: States) -> Move:
    """Make the check first that tells most about the set of causes for its cost."""

    def order(check: int) -> float:
        weight = state.weight[0] / state.mass[0]
        joint = weight[:, None] * job.like[:, job.results(check)]
        apart = weight[:, None] * joint.sum(axis=0)[None, :]
        bits = np.where(joint > 0, joint * np.log2(np.maximum(joint, 1e-300) / np.maximum(apart, 1e-300)), 0)
        return -float(bits.sum()) / float(price(job, state, check)[0])

    return _until_proven(job, state, order)
