"""From what is believed of a case to what to do: the next inspection, a tool worth buying, the verdict."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from proveout.model.advice import Expected, Hypothesis, Next, ToolAdvice, Verdict
from proveout.model.atom import COMES_BACK
from proveout.model.belief import Posterior, Sensitivity
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.chained import Chained
from proveout.plan.bringing import bring_on
from proveout.plan.contradictions import Contradiction, contradiction
from proveout.plan.last_look import LastLook, last_look, with_look
from proveout.plan.lookahead import Choice, choose
from proveout.plan.mending import last_mending, worth_mending
from proveout.plan.moves import price
from proveout.plan.problem import Floats
from proveout.plan.proof import DIGITS, claims, hypotheses_of, is_proven
from proveout.plan.purpose import Purpose, leading, purposes, told_apart, why_now, worth_listing
from proveout.plan.reasons import Grounds, verdict
from proveout.plan.repeats import Repeat, repeat_of, worth_repeating
from proveout.plan.setup import Setup, set_up
from proveout.plan.tools import worth_buying
from proveout.weigh.single import on_one_thread

#: Causes whose missing tools are named.
NAMED = 5
#: Why an inspection is made once more where nothing is proven.
MISSED = "Everything else has been inspected, and it may have missed what is there."
#: What an inspection is for where nobody is told.
UNTOLD = Purpose((), 0.0)


class Decision(Struct, frozen=True):
    """What to do; the fields are those of ``Triage``."""

    hypotheses: tuple[Hypothesis, ...]
    next: Next | None
    others: tuple[Next, ...]
    tool: ToolAdvice | None
    verdict: Verdict
    left_out: float


@on_one_thread
def decide(
    book: Book,
    sheet: Sheet,
    chained: Chained,
    belief: Posterior,
    doubts: Sensitivity,
    *,
    tools: frozenset[str],
    costs: Costs,
    brief: bool = False,
) -> Decision:
    """Decide what to do next in a case.

    Args:
        book: the rules.
        sheet: what is known.
        chained: the closed set of facts.
        belief: what is believed.
        doubts: of it.
        tools: at hand besides the basic ones.
        costs: the user's prices.
        brief: leave out what is only told: further inspections, what the next one is for, a tool to buy.
    """
    claimed = claims(book, sheet, chained.facts, belief, costs)
    hypotheses = hypotheses_of(book, sheet, chained.facts, belief, claimed)
    if not hypotheses or (sheet.mended and sheet.mended[-1].since != COMES_BACK):
        grounds = Grounds(book, sheet, costs, hypotheses, belief.not_in_book, doubts, None, ())
        return Decision(hypotheses, None, (), None, verdict(grounds), 0.0)
    setup = set_up(book, sheet, chained.facts, belief, claimed, tools=tools, costs=costs)
    sound = {s.cause for s in hypotheses if is_proven(book, s, costs)}
    may_mend = np.array([n for n, cause in enumerate(setup.problem.causes) if cause in sound], dtype=np.int64)
    choice = choose(setup.problem, setup.state, may_mend, setup.extensions, brief=brief)
    look = last_look(book, sheet, setup, choice, hypotheses, costs)
    choice = with_look(choice, look) if look else choice
    mending = worth_mending(book, sheet, setup, choice, hypotheses, costs)
    lead = next((s.cause for s in hypotheses if s.cause in sound), "")
    against = contradiction(book, sheet, chained.facts, lead) if lead else None
    told = [] if brief else [check for check in (choice.check, *choice.others) if check >= 0]
    meant = purposes(setup, choice, told)
    step = (
        None
        if mending
        else _step(book, sheet, setup, choice, hypotheses, meant, against, look, unproven=not sound)
    )
    if mending is None and step is None:
        mending = last_mending(book, sheet, setup, choice, hypotheses, costs)
    lacking = _lacking(book, setup, hypotheses[:NAMED])
    grounds = Grounds(
        book, sheet, costs, hypotheses, belief.not_in_book, doubts, step, lacking, mending, against, look
    )
    others = _others(book, setup, choice, hypotheses, meant)
    tool = None if brief else worth_buying(book, setup, choice)
    return Decision(hypotheses, step, others, tool, verdict(grounds), setup.left_out)


def _others(
    book: Book, setup: Setup, choice: Choice, hypotheses: tuple[Hypothesis, ...], meant: Mapping[int, Purpose]
) -> tuple[Next, ...]:
    """Return the further inspections worth doing: only what bears on the leading causes."""
    leaders = leading(hypotheses)
    return tuple(
        propose(
            book,
            setup,
            choice,
            check,
            meant[check],
            why_now(book, setup, check, meant[check], hypotheses, choice.chance),
        )
        for check in choice.others
        if worth_listing(meant[check], leaders)
    )


def _last(book: Book, setup: Setup, choice: Choice, look: LastLook) -> Next:
    """Return what to inspect before a part is bought."""
    purpose = Purpose(told_apart(setup.problem, setup.state, look.check), look.worth)
    title = book.causes[look.cause].title
    counts = f"here a needless part counts {look.times:.0f} times its price"
    why = f"It could still show that the part for “{title}” is not needed; {counts}."
    return propose(book, setup, choice, look.check, purpose, why)


def _step(
    book: Book,
    sheet: Sheet,
    setup: Setup,
    choice: Choice,
    hypotheses: tuple[Hypothesis, ...],
    meant: Mapping[int, Purpose],
    against: Contradiction | None,
    look: LastLook | None,
    *,
    unproven: bool,
) -> Next | None:
    """Return what to inspect next: something new, or nothing.

    While nothing is proven, what may have missed the fault is looked at once more; so is what contradicts it
    when something is.
    """
    if look is not None:
        return _last(book, setup, choice, look)
    if choice.check >= 0:
        purpose = meant.get(choice.check, UNTOLD)
        why = (
            ""
            if purpose is UNTOLD
            else why_now(book, setup, choice.check, purpose, hypotheses, choice.chance)
        )
        return propose(book, setup, choice, choice.check, purpose, why)
    if against is not None:
        second = repeat_of(setup, sheet, against.again)
        return repeat(book, setup, second, "Direct results contradict each other.") if second else None
    second = worth_repeating(setup, sheet) if unproven else None
    return repeat(book, setup, second) if second else None


def repeat(book: Book, setup: Setup, second: Repeat, why: str = MISSED) -> Next:
    """Describe an inspection to be made once more."""
    entry = book.inspections[setup.problem.checks[second.check]]
    return Next(
        inspection=entry.id,
        minutes=entry.minutes,
        cost=float(price(setup.problem, setup.state, second.check)[0] - setup.handling),
        expected_saving=second.saving,
        opens=(),
        outcomes=_outcomes(book, setup, second.check, second.share, second.weight),
        again=True,
        apart=told_apart(setup.problem, setup.state, second.check),
        worth=second.saving,
        why=why,
        bring_on=bring_on(setup, second.check),
    )


def propose(book: Book, setup: Setup, choice: Choice, check: int, purpose: Purpose, why: str) -> Next:
    """Describe a proposed inspection."""
    problem, state = setup.problem, setup.state
    entry = book.inspections[problem.checks[check]]
    weight = state.weight[0] * problem.like.T[problem.results(check)]
    opens = tuple(sorted({a for a in entry.access if a not in setup.opened}))
    return Next(
        inspection=entry.id,
        minutes=entry.minutes + sum(book.words.access[place].minutes for place in opens),
        cost=float(price(problem, state, check)[0] - setup.handling),
        expected_saving=choice.stop - choice.values[check],
        opens=opens,
        outcomes=_outcomes(book, setup, check, weight.sum(axis=1) / state.mass[0], weight),
        again=setup.problem.checks[check] in setup.presence.taken,
        apart=purpose.apart,
        worth=purpose.worth,
        why=why,
        bring_on=bring_on(setup, check),
    )


def _outcomes(book: Book, setup: Setup, check: int, share: Floats, weight: Floats) -> tuple[Expected, ...]:
    """Return each result with its probability and the cause that would then lead, in the order of the book.

    Results that no rule weighs cannot be told apart; the first of them carries their whole probability.
    """
    columns, seen, leads = setup.columns[check], set[int](), _leads_to(setup, weight)
    outcomes = []
    for result in book.inspections[setup.problem.checks[check]].results:
        column = columns[result.id]
        probability = 0.0 if column in seen else float(share[column])
        seen.add(column)
        outcomes.append(Expected(result.id, probability, leads[column]))
    return tuple(outcomes)


def _leads_to(setup: Setup, weight: Floats) -> list[str]:
    """Return the cause that leads under each weights (R, S), "" where "none of them" is likelier than any."""
    mass = np.maximum(weight.sum(axis=1), 1e-300)[:, None]
    sure = (weight @ setup.problem.sets.member / mass).round(DIGITS)
    found = (sure.max(axis=1) >= (weight[:, 0] / mass[:, 0]).round(DIGITS)) & (sure.max(axis=1) > 0)
    return [
        setup.problem.causes[n] if leads else ""
        for n, leads in zip(sure.argmax(axis=1).tolist(), found.tolist(), strict=True)
    ]


def _lacking(book: Book, setup: Setup, leading: tuple[Hypothesis, ...]) -> tuple[str, ...]:
    """Return the missing tools without which a leading cause's own inspections cannot be made."""
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
                    setup.problem.checks, setup.lacking, setup.state.done[0], strict=True
                )
                if check in bearing and not done
                for tool in missing
            }
        )
    )
