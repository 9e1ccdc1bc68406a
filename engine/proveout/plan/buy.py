"""Whether one tool that is not at hand would pay for itself on this case."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from proveout.model.advice import ToolAdvice
from proveout.model.book import Book
from proveout.plan.lay import Laid
from proveout.plan.look import first_look, plan_steps


def worth_buying(book: Book, laid: Laid, stop: float) -> ToolAdvice | None:
    """Give the tool that saves most beyond its price, or None; ties by id.

    A tool unlocks the inspections that lack it alone. Both sides are valued by the first look.

    Args:
        book: for prices.
        laid: the case.
        stop: expected cost of the best way to stop now.
    """
    tools = sorted({next(iter(missing)) for missing in laid.lacking if len(missing) == 1})
    without = min([stop, *_values(laid, "").values()]) if tools else 0.0
    best: tuple[float, ToolAdvice] | None = None
    for tool in tools:
        cost = book.words.tools[tool].price.middle
        if cost >= without:
            continue
        values = _values(laid, tool)
        saving = without - min([stop, *values.values()])
        net = round(saving - cost, 9)
        if net > 0 and (best is None or net > best[0]):
            best = net, ToolAdvice(tool, cost, saving, _first_use(laid, tool, values))
    return best[1] if best else None


def _values(laid: Laid, tool: str) -> dict[int, float]:
    """Give the value of each inspection that can be made next if the tool were at hand too."""
    job = replace(laid.job, usable=np.array([missing <= {tool} for missing in laid.lacking], dtype=bool))
    return first_look(job, plan_steps(job, laid.state), laid.state)


def _first_use(laid: Laid, tool: str, values: dict[int, float]) -> str:
    """Give the inspection for which the tool would be used first."""
    needing = [check for check, missing in enumerate(laid.lacking) if missing == {tool}]
    best = min(needing, key=lambda check: (round(values.get(check, np.inf), 9), check))
    return laid.job.checks[best]
