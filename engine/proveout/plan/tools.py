"""Whether one tool that is not at hand would pay for itself on this case.

A tool unlocks the inspections that lack it alone. Both sides are valued by the plan and by what can be made
next; with the tool at hand, only what it unlocks is tried, so that a saving is never overstated.
"""

from __future__ import annotations

import numpy as np

from proveout.model.advice import ToolAdvice
from proveout.model.book import Book
from proveout.plan.lookahead import Choice
from proveout.plan.setup import Setup


def worth_buying(book: Book, setup: Setup, choice: Choice) -> ToolAdvice | None:
    """Return the tool that saves most beyond its price, or None; ties by id."""
    without = min(choice.stop, choice.least)
    best: tuple[float, ToolAdvice] | None = None
    for place, (plan, values) in sorted(choice.extended.items()):
        tool = setup.wanted[place]
        price = book.words.tools[tool].price.middle
        saving = without - min([choice.stop, plan, *values.values()])
        net = round(saving - price, 9)
        if price < without and net > 0 and (best is None or net > best[0]):
            best = net, ToolAdvice(tool, price, saving, _first_use(setup, tool, values))
    return best[1] if best else None


def _first_use(setup: Setup, tool: str, values: dict[int, float]) -> str:
    """Return the inspection for which the tool would be used first."""
    needing = [check for check, missing in enumerate(setup.lacking) if missing == {tool}]
    best = min(needing, key=lambda check: (round(values.get(check, np.inf), 9), check))
    return setup.problem.checks[best]
