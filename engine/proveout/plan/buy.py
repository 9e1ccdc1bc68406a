"""Whether one tool that is not at hand would pay for itself on this case."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from proveout.model.advice import ToolAdvice
from proveout.model.book import Book
from proveout.plan.ecr import expected_cost
from proveout.plan.job import Bools, Job, States
from proveout.plan.lay import Laid
from proveout.plan.look import first_look, plan_steps
from proveout.plan.plans import Steps


def worth_buying(book: Book, laid: Laid, stop: float) -> ToolAdvice | None:
    """Give the tool that saves most beyond its price, or None; ties by id.

    A tool unlocks the inspections that lack it alone. Both sides are valued by the plan and the first look;
    with the tool at hand, only what it unlocks is looked at, so that a saving is never overstated.

    Args:
        book: for prices.
        laid: the case.
        stop: expected cost of the best way to stop now.
    """
    tools = sorted({next(iter(missing)) for missing in laid.lacking if len(missing) == 1})
    steps = plan_steps(laid.job, laid.state)
    plan, values = _valued(laid.job, steps, laid.state, laid.job.usable)
    without = min([stop, plan, *values.values()])
    best: tuple[float, ToolAdvice] | None = None
    for tool in tools:
        cost = book.words.tools[tool].price.middle
        if cost >= without:
            continue
        plan, values = _with(laid, tool)
        saving = without - min([stop, plan, *values.values()])
        net = round(saving - cost, 9)
        if net > 0 and (best is None or net > best[0]):
            best = net, ToolAdvice(tool, cost, saving, _first_use(laid, tool, values))
    return best[1] if best else None


def _with(laid: Laid, tool: str) -> tuple[float, dict[int, float]]:
    """Value the plan if the tool were at hand too, and each inspection unlocked that can be made next."""
    usable = np.array([missing <= {tool} for missing in laid.lacking], dtype=bool) & ~laid.aside
    job = replace(laid.job, usable=usable)
    return _valued(job, plan_steps(job, laid.state), laid.state, usable & ~laid.job.usable)


def _valued(job: Job, steps: Steps, state: States, checks: Bools) -> tuple[float, dict[int, float]]:
    """Value the plan, and some of the inspections that can be made next."""
    return float(expected_cost(job, steps, state)[0]), first_look(job, steps, state, checks)


def _first_use(laid: Laid, tool: str, values: dict[int, float]) -> str:
    """Give the inspection for which the tool would be used first."""
    needing = [check for check, missing in enumerate(laid.lacking) if missing == {tool}]
    best = min(needing, key=lambda check: (round(values.get(check, np.inf), 9), check))
    return laid.job.checks[best]
