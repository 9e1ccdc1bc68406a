"""From the facts of a case to the whole answer: chain, weigh, plan."""

from __future__ import annotations

from proveout.chain import close, default_engine
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.plan.decide import decide
from proveout.weigh import ledgers, network, posterior, sensitivity


def triage(
    book: Book,
    sheet: Sheet,
    *,
    tools: frozenset[str],
    costs: Costs,
    engine: str | None = None,
) -> Triage:
    """Give the whole answer for one case.

    Args:
        book: the compiled book.
        sheet: what is known.
        tools: ids of the tools at hand besides the basic ones.
        costs: the user's prices and the threshold of proof.
        engine: name of the chainer, or None for the default.
    """
    chained = close(book, sheet.atoms, engine)
    problem = network(book, sheet, chained)
    belief = posterior(problem)
    doubts = sensitivity(problem, belief)
    decision = decide(book, sheet, chained, belief, doubts, tools=tools, costs=costs)
    columns = {ledger.cause: ledger for ledger in ledgers(problem, belief)}
    return Triage(
        book_digest=book.digest,
        engine=engine or default_engine(),
        sheet=sheet,
        chained=chained,
        standings=decision.standings,
        not_in_book=belief.not_in_book,
        ledgers=tuple(columns[standing.cause] for standing in decision.standings),
        sensitivity=doubts,
        next=decision.next,
        others=decision.others,
        tool=decision.tool,
        verdict=decision.verdict,
        left_out=decision.left_out,
    )
