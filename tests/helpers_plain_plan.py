"""The planner once more, the plain way: one situation at a time, every inspection valued, nothing left out.

It follows the words of the plan and of the lookahead in loops over names, without tables of steps, batches or
bounds, and is what the engine's planner is held against.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from proveout.plan.lookahead import LEADING, NOISE, SECOND
from proveout.plan.moves import SLACK
from proveout.plan.outlook import LIKELY, WORTH
from proveout.plan.problem import Floats, Problem, States
from proveout.plan.steps import AGAINST, SUBSETS_OF
from proveout.plan.used import FADE, LONGEST, REMNANT, TINY

Numbers = frozenset[int]


@dataclass(frozen=True)
class Situation:
    """One situation: mass of each set, checks done, those decided, places open, causes shown."""

    weight: Floats
    done: Numbers
    decided: Numbers
    opened: Numbers
    failed: Numbers

    @property
    def mass(self) -> float:
        return float(self.weight.sum())


@dataclass(frozen=True)
class Step:
    """One step of a plan: its cause, the checks at its start, those needed before buying, its chances."""

    cause: int
    first: int
    front: Numbers
    back: Numbers
    needs: Numbers
    support: Floats

    def ends(self, other: Step) -> bool:
        """Whether one of two steps for the same cause rests on the result of the same check as the other."""
        late = self.needs & other.needs if self.first < 0 and other.first < 0 else frozenset()
        shared = self.front & (other.front | other.needs) | self.needs & other.front | late
        return self.cause == other.cause and (bool(shared) or self.first == other.first)


def where(row: np.ndarray) -> Numbers:
    return frozenset(np.flatnonzero(row).tolist())


def situation(state: States) -> Situation:
    return Situation(
        state.weight[0],
        where(state.done[0]),
        where(state.decided[0]),
        where(state.open[0]),
        where(state.failed[0]),
    )


class Plain:
    """The planner for one problem and the situation from which it looks ahead."""

    def __init__(self, problem: Problem, start: Situation) -> None:
        self.problem, self.start = problem, start
        self.checks, self.causes = range(len(problem.checks)), range(len(problem.causes))

    def price(self, now: Situation, check: int) -> float:
        shut = where(self.problem.behind[check]) - now.opened
        return float(self.problem.cost[check] + sum(self.problem.access[list(shut)]))

    def ready(self, now: Situation) -> list[int]:
        problem = self.problem
        return [
            i
            for i in self.checks
            if problem.usable[i] and i not in now.done and where(problem.after[i]) <= now.done
        ]

    def inspect(self, now: Situation, check: int) -> list[Situation]:
        problem = self.problem
        return [
            Situation(
                now.weight * problem.like[:, column],
                now.done | {check},
                now.decided | {check},
                now.opened | where(problem.behind[check]),
                now.failed | where(problem.shows[:, column]),
            )
            for column in range(problem.first[check], problem.first[check + 1])
        ]

    def mend(self, now: Situation, cause: int) -> Situation:
        weight, member = now.weight * ~self.bad(cause), self.problem.sets.member
        ended = where(self.problem.sets.ends[cause])
        for one in np.flatnonzero(self.bad(cause)):
            rest = member[one].copy()
            rest[list(ended)] = False
            if rest.any():
                weight[np.flatnonzero((member == rest).all(axis=1))[0]] += now.weight[one]
        opened = now.opened | where(self.problem.repair_behind[cause])
        return replace(now, weight=weight, failed=now.failed - ended, opened=opened)

    def bad(self, cause: int) -> np.ndarray:
        """(S,) whether the part of a cause is bad in each set: any fault in it that its remedy ends."""
        return np.asarray(self.problem.sets.member[:, self.problem.sets.ends[cause]].any(axis=1))

    def speaking(self, check: int, cause: int) -> Floats:
        """(S,) chance of a result that does not speak against the cause as seen from the start."""
        problem, held = self.problem, self.bad(cause)
        with_it, without = self.start.weight * held, self.start.weight * ~held
        if with_it.sum() <= 0 or without.sum() <= 0:
            return np.ones(len(held))
        own = problem.like[:, problem.first[check] : problem.first[check + 1]]
        present, absent = with_it @ own / with_it.sum(), without @ own / without.sum()
        return np.asarray(own[:, present >= AGAINST * absent].sum(axis=1))

    def steps(self, now: Situation) -> list[Step]:
        """The steps that fit a situation."""
        problem, found = self.problem, []
        for cause in self.causes:
            if self.start.weight @ problem.sets.member[:, cause] <= 0:
                continue
            buying = where(problem.buying[cause])
            needed = buying.union(*(where(problem.after[i]) for i in buying))
            direct = [i for i in self.checks if problem.usable[i] and self.shows(i, cause).any()]
            for first in [-1, *direct]:
                front = frozenset({first}) | where(problem.after[first]) if first >= 0 else frozenset()
                begins = front - now.done if first >= 0 else cause in now.failed
                undone = (front | needed) - now.done
                if (
                    not begins
                    or not all(problem.usable[i] for i in undone)
                    or buying & now.done - now.decided
                ):
                    continue
                needs = frozenset(sorted(buying)[:SUBSETS_OF]) - front - now.done
                support = np.ones(len(problem.sets))
                if first >= 0:
                    own = problem.like[:, problem.first[first] : problem.first[first + 1]]
                    support = own @ self.shows(first, cause)
                for check in sorted(needs):
                    support = support * self.speaking(check, cause)
                found.append(Step(cause, first, front, needed - front, needs, support))
        return found

    def shows(self, check: int, cause: int) -> np.ndarray:
        return self.problem.shows[cause, self.problem.first[check] : self.problem.first[check + 1]].astype(
            float
        )

    def plan(self, now: Situation) -> tuple[float, Step | None]:
        """The cost of the plan times the mass, and its first step."""
        problem, steps, begin = self.problem, self.steps(now), None
        spent, left, made, opened = 0.0, now, now.done, now.opened
        best = float(now.weight @ problem.refer)
        for _ in range(LONGEST):
            scored = [(self.score(left, step, made, opened), -n) for n, step in enumerate(steps)]
            if left.mass <= REMNANT * now.mass or not scored or max(scored)[0][0] <= 0:
                break
            (_, cost, sound), place = max(scored)
            step = steps[-place]
            begin = begin or step
            spent += cost
            moved = replace(left, weight=sound * left.weight * step.support * self.bad(step.cause))
            kept = self.mend(moved, step.cause).weight
            left = replace(left, weight=left.weight - moved.weight + kept)
            made, opened = made | step.front, opened | self.access(step.front)
            steps = [other for other in steps if not step.ends(other)]
            best = min(best, spent + float(left.weight @ problem.refer))
        return best, begin

    def access(self, checks: Numbers) -> Numbers:
        return frozenset().union(*(where(self.problem.behind[i]) for i in checks))

    def score(
        self, left: Situation, step: Step, made: Numbers, opened: Numbers
    ) -> tuple[float, float, float]:
        """Chance over cost of a step, what it costs, and the share of the shown cases that it mends."""
        problem, shown = self.problem, float(left.weight @ step.support)
        gain = float((left.weight * self.bad(step.cause)) @ step.support)
        front, back = self.access(step.front), self.access(step.back)
        at_start = sum(problem.cost[list(step.front - made)]) + sum(problem.access[list(front - opened)])
        later = sum(problem.cost[list(step.back - made)]) + sum(problem.access[list(back - front - opened)])
        places = where(problem.repair_behind[step.cause]) - front - back - opened
        mending = problem.repair[step.cause] + sum(problem.access[list(places)])
        short = problem.threshold[step.cause] - SLACK - gain / max(shown, TINY)
        sound = float(short <= 0) if step.first < 0 else float(np.clip(1.0 - short / FADE, 0.0, 1.0))
        work = left.mass * at_start + shown * later
        score = sound * gain / (work + sound * (shown - gain) * mending + TINY) if gain > TINY else -1.0
        return score, float(work + sound * shown * mending), sound

    def alone(self, now: Situation) -> dict[int, float]:
        """The first look without credit for what a check unlocks."""
        return {
            i: self.price(now, i) * now.mass + sum(self.plan(leaf)[0] for leaf in self.inspect(now, i))
            for i in self.ready(now)
        }

    def first_look(self, now: Situation) -> dict[int, float]:
        found = self.alone(now)
        for check, value in self.chains(now).items():
            for first in where(self.problem.after[check]) & found.keys():
                found[first] = min(found[first], value)
        return found

    def chains(self, now: Situation) -> dict[int, float]:
        """What each check that waits for others costs if all of them are made, whatever they show."""
        found, problem = {}, self.problem
        for check in set(self.checks) - now.done - set(self.ready(now)):
            before = where(problem.after[check]) - now.done
            if not all(problem.usable[i] for i in before | {check}):
                continue
            opened = now.opened | self.access(before)
            made = replace(now, done=now.done | before, decided=now.decided | before, opened=opened)
            price = float(sum(problem.cost[list(before)]) + sum(problem.access[list(opened - now.opened)]))
            price += self.price(made, check)
            found[check] = price * now.mass + sum(self.plan(leaf)[0] for leaf in self.inspect(made, check))
        return found

    def second_look(self, check: int, seconds: list[int]) -> float:
        """The value of a check where one more may be made behind each of its results."""
        now, value = self.start, self.price(self.start, check) * self.start.mass
        for leaf in self.inspect(now, check):
            further = [
                self.price(leaf, i) * leaf.mass + sum(self.plan(end)[0] for end in self.inspect(leaf, i))
                for i in self.ready(leaf)
                if i in seconds or self.problem.after[i].any()
            ]
            value += min([self.plan(leaf)[0], *further])
        return value

    def chance(self, check: int) -> float:
        problem, total = self.problem, 0.0
        for column in range(problem.first[check], problem.first[check + 1]):
            there = (problem.sets.member & problem.shows[:, column]).any(axis=1)
            total += float(self.start.weight @ (problem.like[:, column] * there))
        return total / self.start.mass

    def choose(self) -> tuple[int, int]:
        """The check to make or -1, and the cause to mend or -1."""
        now, problem, first = self.start, self.problem, self.first_look(self.start)
        refer, (plan, step) = float(now.weight @ problem.refer), self.plan(now)
        own: Numbers = frozenset()
        if step:
            own = (step.front - now.done or step.back - now.done) & first.keys()
        dearest = max((self.price(now, i) for i in own), default=0.0)

        def counts(i: int) -> bool:
            fair = self.price(now, i) <= dearest and self.chance(i) > LIKELY
            return not own or i in own or first[i] < plan + (NOISE * refer if fair else -WORTH * now.mass)

        values = {i: value for i, value in first.items() if counts(i)}
        ranked = sorted(values, key=lambda i: (round(values[i], 9), i))
        for i in {*ranked[:LEADING], *own}:
            values[i] = min(values[i], self.second_look(i, ranked[:SECOND]))
        values |= {i: min(values[i], plan) for i in own}
        stop, cause = self.stop(refer)
        margin = NOISE * refer if cause >= 0 else WORTH * now.mass
        better = {i: value for i, value in values.items() if value < stop - margin}
        if not better:
            return -1, cause
        alone = self.alone(now)
        near = [i for i in sorted(better) if better[i] <= min(better.values()) + NOISE * refer]

        def worth(i: int) -> float:
            gain = plan - alone[i] + self.price(now, i) * now.mass
            return round((self.chance(i) + max(gain, 0.0) / refer) / max(self.price(now, i), WORTH), 9)

        return max(near, key=lambda i: (worth(i), -better[i], -i)), -1

    def stop(self, refer: float) -> tuple[float, int]:
        now, problem = self.start, self.problem
        sure = {c: float(now.weight @ problem.sets.member[:, c]) / now.mass for c in self.causes}
        part = {c: float(now.weight @ self.bad(c)) / now.mass for c in self.causes}
        sound = [
            c
            for c in now.failed
            if part[c] >= problem.threshold[c] - SLACK and where(problem.buying[c]) <= now.decided
        ]
        if not sound:
            return refer, -1
        cause = min(sound, key=lambda c: (-round(sure[c], 9), c))
        after = self.mend(now, cause)
        places = where(problem.repair_behind[cause]) - now.opened
        cost = (problem.repair[cause] + sum(problem.access[list(places)])) * now.mass
        cost += min([self.plan(after)[0], *self.first_look(after).values()])
        return (cost, cause) if cost <= refer else (refer, -1)
