"""What an inspection is for: the causes that it tells apart, its own worth, and why it comes now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from proveout.model.advice import Hypothesis
from proveout.model.book import Book
from proveout.plan.ecr import expected_cost
from proveout.plan.lookahead import Choice
from proveout.plan.outlook import WORTH
from proveout.plan.problem import Floats, Problem, States, indices, stack
from proveout.plan.setup import Setup
from proveout.plan.steps import plan_steps

#: Causes named at most, and the share of the largest move that counts.
NAMED, FAINT = 4, 0.2
#: A move of a confidence smaller than this on the average is none.
STILL = 0.005
#: A cause leads while it is among the first so many, or at least so likely.
LEADING, LIKELY = 3, 0.1
#: From this chance on an inspection is said to be likely to show the fault.
CHANCE = 0.25


class Purpose(Struct, frozen=True):
    """What an inspection is for.

    Attributes:
        apart: the causes that its results tell apart, those that they move most first.
        worth: what going on would cost more if it could not be made.
    """

    apart: tuple[str, ...]
    worth: float


def purposes(setup: Setup, choice: Choice, checks: Sequence[int]) -> dict[int, Purpose]:
    """Return what some inspections are for."""
    problem, state = setup.problem, setup.state
    if not checks:
        return {}
    usable = np.repeat(problem.usable[None, :], len(checks), axis=0)
    usable[np.arange(len(checks)), list(checks)] = False
    most = problem.usable | setup.extensions.usable.any(axis=0)  # the steps of the choice
    without = expected_cost(problem, plan_steps(problem, state, most), stack([state] * len(checks)), usable)
    return {
        check: Purpose(told_apart(problem, state, check), max(float(cost) - _value(choice, check), 0.0))
        for check, cost in zip(checks, without, strict=True)
    }


def _value(choice: Choice, check: int) -> float:
    return choice.values.get(check, choice.stop)


def told_apart(problem: Problem, state: States, check: int) -> tuple[str, ...]:
    """Return the causes whose confidence the results of an inspection move most on the average."""
    moved = moves(problem, state, check)
    order = np.lexsort((np.arange(len(moved)), -moved.round(9)))[:NAMED]
    least = max(float(moved.max(initial=0.0)) * FAINT, STILL)
    return tuple(problem.causes[n] for n in order.tolist() if moved[n] >= least)


def moves(problem: Problem, state: States, check: int) -> Floats:
    """Return (C,): by how much the results of an inspection move each confidence on the average."""
    weight = state.weight[0] / float(state.mass[0])
    like = problem.like[:, problem.results(check)]
    joint = (weight[:, None] * problem.sets.member).T @ like
    share = weight @ like
    return np.asarray(np.abs(joint - joint.sum(axis=1)[:, None] * share[None, :]).sum(axis=1))


def leading(hypotheses: Sequence[Hypothesis]) -> frozenset[str]:
    """Return the leading causes, the first of those that were not mended and all that are likely."""
    open_ones = [s for s in hypotheses if not s.mended]
    return frozenset(s.cause for n, s in enumerate(open_ones) if n < LEADING or s.confidence >= LIKELY)


def worth_listing(purpose: Purpose, leaders: frozenset[str]) -> bool:
    """Say whether a further inspection is worth naming: it bears on what leads and saves something."""
    return purpose.worth > WORTH and not leaders.isdisjoint(purpose.apart)


def why_now(
    book: Book, setup: Setup, check: int, purpose: Purpose, hypotheses: Sequence[Hypothesis], chance: Floats
) -> str:
    """Return in a sentence why an inspection comes now."""
    problem = setup.problem
    name, titles = problem.checks[check], _titles(book, purpose.apart)
    asked = next((s.cause for s in hypotheses if name in s.missing and s.direct == "failed"), "")
    if asked:
        return f"“{book.causes[asked].title}” was shown; its proof asks for this."
    proves = book.inspections[name].proves
    shown = [cause for cause in purpose.apart if cause in proves]
    if chance[check] >= CHANCE and shown:
        return f"It shows directly whether it is {_either([titles[c] for c in shown])}."
    waiting = indices(problem.after[:, check] & problem.usable & ~setup.state.done[0])
    if waiting.size and not shown:
        return f"“{book.inspections[problem.checks[int(waiting[0])]].title}” has to wait for it."
    if len(purpose.apart) > 1:
        return f"It tells {_either([titles[c] for c in purpose.apart])} apart from the rest at a small price."
    if purpose.apart:
        return f"It speaks for or against {titles[purpose.apart[0]]} at a small price."
    return "It is the cheapest that is left to do."


def _titles(book: Book, causes: Sequence[str]) -> Mapping[str, str]:
    return {cause: f"“{book.causes[cause].title}”" for cause in causes}


def _either(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " or " + parts[-1]
