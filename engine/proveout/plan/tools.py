"""Whether one tool that is not at hand would pay for itself on this case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from proveout.model.advice import ToolAdvice
from proveout.model.book import Book
from proveout.plan.ecr import expected_cost
from proveout.plan.layout import Layout
from proveout.plan.moves import inspect_each, makeable, prices
from proveout.plan.problem import Bools, stack
from proveout.plan.steps import plan_steps


@dataclass(frozen=True, slots=True)
class _Tried:
    """A case with one tool more.

    Attributes:
        tool: its id.
        usable: (I,) what can be made with it.
        plan: expected cost of the plan.
        values: expected cost of beginning with each inspection that it unlocks.
    """

    tool: str
    usable: Bools
    plan: float
    values: dict[int, float]


def worth_buying(book: Book, layout: Layout, stop: float, least: float) -> ToolAdvice | None:
    """Return the tool that saves most beyond its price, or None; ties by id.

    A tool unlocks the inspections that lack it alone. Both sides are valued by the plan and by what can be
    made next; with the tool at hand, only what it unlocks is tried, so that a saving is never overstated.

    Args:
        book: for prices.
        layout: the case.
        stop: expected cost of the best way to stop now.
        least: the least expected cost by the simple plan, begun with anything that can be made next.
    """
    without = min(stop, least)
    wanted = sorted({next(iter(missing)) for missing in layout.lacking if len(missing) == 1})
    cost = {tool: book.words.tools[tool].price.middle for tool in wanted}
    worth: tuple[float, ToolAdvice] | None = None
    for tried in _try(layout, [tool for tool in wanted if cost[tool] < without]):
        saving = without - min([stop, tried.plan, *tried.values.values()])
        net = round(saving - cost[tried.tool], 9)
        if net > 0 and (worth is None or net > worth[0]):
            worth = net, ToolAdvice(tried.tool, cost[tried.tool], saving, _first_use(layout, tried))
    return worth[1] if worth else None


def _try(layout: Layout, tools: list[str]) -> list[_Tried]:
    """Value the plan with each tool, and each inspection unlocked by it that can be made next."""
    if not tools:
        return []
    problem, state = layout.problem, layout.state
    usable = np.array([[missing <= {tool} for missing in layout.lacking] for tool in tools], dtype=bool)
    can = makeable(problem, state)[0] & usable & ~problem.usable
    owner, checks = can.nonzero()
    leaves, place = inspect_each(problem, state, checks)
    steps = plan_steps(problem, state, np.asarray(usable.any(axis=0)))
    rows = stack([*([state] * len(tools)), leaves])
    cost = expected_cost(problem, steps, rows, np.concatenate([usable, usable[owner]]))
    sums = np.bincount(place, cost[len(tools) :], len(checks))
    sums += prices(problem, state)[0, checks] * state.mass[0]
    return [
        _Tried(
            tool,
            usable[n],
            float(cost[n]),
            dict(zip(checks[owner == n].tolist(), sums[owner == n].tolist(), strict=True)),
        )
        for n, tool in enumerate(tools)
    ]


def _first_use(layout: Layout, tried: _Tried) -> str:
    """Return the inspection for which the tool would be used first."""
    needing = [check for check, missing in enumerate(layout.lacking) if missing == {tried.tool}]
    best = min(needing, key=lambda check: (round(tried.values.get(check, np.inf), 9), check))
    return layout.problem.checks[best]
