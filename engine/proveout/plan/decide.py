"""From what is believed of a case to what to do: the next inspection, a tool worth buying, the verdict."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from proveout.model.advice import Next, Outcome, Standing, ToolAdvice, Verdict
from proveout.model.belief import Posterior, Sensitivity
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.chained import Chained
from proveout.plan.again import Repeat, worth_repeating
from proveout.plan.buy import worth_buying
from proveout.plan.job import Floats
from proveout.plan.lay import Laid, lay
from proveout.plan.look import WORTH, Choice, choose
from proveout.plan.move import inspect, price
from proveout.plan.proof import DIGITS, is_proven, standings
from proveout.plan.reasons import Grounds, verdict

#: Most further inspections that are listed besides the next one.
OTHERS = 5
#: Causes whose missing tools are named.
NAMED = 5


@dataclass(frozen=True, slots=True)
class Decision:
    """What to do; the fields are those of ``Triage``."""

    standings: tuple[Standing, ...]
    next: Next | None
    others: tuple[Next, ...]
    tool: ToolAdvice | None
    verdict: Verdict


def decide(
    book: Book,
    sheet: Sheet,
    chained: Chained,
    belief: Posterior,
    doubts: Sensitivity,
    *,
    tools: frozenset[str],
    costs: Costs,
) -> Decision:
    """Decide what to do next in a case."""
    stands = standings(book, sheet, chained.facts, belief)
    if not stands:
        grounds = Grounds(book, sheet, costs, (), belief.not_in_book, doubts, None, ())
        return Decision((), None, (), None, verdict(grounds))
    laid = lay(book, sheet, chained.facts, belief, tools, costs)
    sound = {s.cause for s in stands if is_proven(book, s, costs)}
    may_mend = np.array([n for n, cause in enumerate(laid.job.causes) if cause in sound], dtype=np.int64)
    choice = choose(laid.job, laid.state, may_mend)
    step = _step(book, sheet, laid, choice, unproven=not sound)
    lacking = _lacking(book, laid, stands[:NAMED])
    grounds = Grounds(book, sheet, costs, stands, belief.not_in_book, doubts, step, lacking)
    others = tuple(propose(book, laid, choice, check) for check in further(choice))
    tool = worth_buying(book, laid, choice.stop)
    return Decision(stands, step, others, tool, verdict(grounds))


def _step(book: Book, sheet: Sheet, laid: Laid, choice: Choice, *, unproven: bool) -> Next | None:
    """Give what to inspect next: something new, or nothing.

    While nothing is proven, what may have missed the fault is looked at once more.
    """
    if choice.check >= 0:
        return propose(book, laid, choice, choice.check)
    second = worth_repeating(laid, sheet) if unproven else None
    return repeat(book, laid, second) if second else None


def repeat(book: Book, laid: Laid, second: Repeat) -> Next:
    """Describe an inspection to be made once more."""
    entry = book.inspections[laid.job.checks[second.check]]
    return Next(
        inspection=entry.id,
        minutes=entry.minutes,
        cost=float(price(laid.job, laid.state, second.check)[0]),
        expected_saving=second.saving,
        opens=(),
        outcomes=_outcomes(book, laid, second.check, second.share, second.weight),
        again=True,
    )


def further(choice: Choice) -> list[int]:
    """Give the other inspections that are better than stopping and whose results would help, best first."""
    useful = [
        check
        for check, value in choice.values.items()
        if check != choice.check and value < choice.stop - WORTH and choice.gains[check] > WORTH
    ]
    return sorted(useful, key=lambda check: (round(choice.values[check], 9), check))[:OTHERS]


def propose(book: Book, laid: Laid, choice: Choice, check: int) -> Next:
    """Describe a proposed inspection."""
    job, state = laid.job, laid.state
    entry = book.inspections[job.checks[check]]
    after = inspect(job, state, check)
    opens = tuple(sorted({a for a in entry.access if a not in laid.opened}))
    return Next(
        inspection=entry.id,
        minutes=entry.minutes + sum(book.words.access[place].minutes for place in opens),
        cost=float(price(job, state, check)[0]),
        expected_saving=choice.stop - choice.values[check],
        opens=opens,
        outcomes=_outcomes(book, laid, check, after.mass / state.mass[0], after.weight),
    )


def _outcomes(book: Book, laid: Laid, check: int, share: Floats, weight: Floats) -> tuple[Outcome, ...]:
    """Give each result with its probability and the cause that would then lead, in the order of the book.

    Results that no rule weighs cannot be told apart; the first of them carries their whole probability.
    """
    columns, seen = laid.columns[check], set[int]()
    outcomes = []
    for result in book.inspections[laid.job.checks[check]].results:
        column = columns[result.id]
        probability = 0.0 if column in seen else float(share[column])
        seen.add(column)
        outcomes.append(Outcome(result.id, probability, _leads_to(laid, weight[column])))
    return tuple(outcomes)


def _leads_to(laid: Laid, weight: Floats) -> str:
    """Give the cause that leads under some weights, or "" where "none of them" is likelier than any."""
    mass = weight.sum()
    if mass <= 0:
        return ""
    sure = (weight @ laid.job.member / mass).round(DIGITS)
    return laid.job.causes[int(sure.argmax())] if sure.max() >= round(weight[0] / mass, DIGITS) else ""


def _lacking(book: Book, laid: Laid, leading: tuple[Standing, ...]) -> tuple[str, ...]:
    """Give the missing tools without which a leading cause's own inspections cannot be made."""
    bearing = {
        check
        for s in leading
        for check in (*book.proved_by.get(s.cause, ()), *book.causes[s.cause].before_buying)
    }
    return tuple(
        sorted(
            {
                tool
                for check, missing, done in zip(
                    laid.job.checks, laid.lacking, laid.state.done[0], strict=True
                )
                if check in bearing and not done
                for tool in missing
            }
        )
    )
