"""From the facts of a case to the whole answer: chain, weigh, plan."""

from __future__ import annotations

from proveout.chain.closing import default_engine
from proveout.intake.sheet import sheet_of
from proveout.model.advice import Triage
from proveout.model.belief import Sensitivity
from proveout.model.book import Book
from proveout.model.case import Case, Costs, Sheet
from proveout.plan.decide import decide
from proveout.plan.kinds import asked
from proveout.plan.prices import priced
from proveout.plan.unweighed import without_rules
from proveout.weigh.doubts import sensitivity
from proveout.weigh.driving import driving_on
from proveout.weigh.fitting import fitted
from proveout.weigh.inference import infer
from proveout.weigh.ledger import ledgers
from proveout.weigh.spoken import silent, spoken


def advise(
    case: Case, book: Book, engine: str | None = None, sheet: Sheet | None = None, *, brief: bool = False
) -> Triage:
    """Return the triage of a case. It holds figures and texts as written; ``show`` puts it in other units.

    Args:
        case: what is known.
        book: the rules.
        engine: name of the chainer; the default one where left out.
        sheet: of the case, where it was made already.
        brief: as for ``triage``.

    Raises:
        BadInputError: a reading of the case cannot be used.
    """
    known = sheet_of(case, book) if sheet is None else sheet
    return triage(book, known, tools=frozenset(case.tools), costs=case.costs, engine=engine, brief=brief)


def triage(
    book: Book,
    sheet: Sheet,
    *,
    tools: frozenset[str],
    costs: Costs,
    engine: str | None = None,
    brief: bool = False,
) -> Triage:
    """Return the whole answer for one case.

    Args:
        book: the compiled book.
        sheet: what is known.
        tools: ids of the tools at hand besides the basic ones.
        costs: the user's prices and the threshold of proof.
        engine: name of the chainer, or None for the default.
        brief: leave out what is only told, for whoever tries many cases: ledgers, doubts, what is silent,
            what to ask, and what ``decide`` leaves out. What is decided stays the same.
    """
    whole, book = book, priced(fitted(book, sheet), costs)
    found = infer(book, sheet, engine)
    chained, belief = found.chained, found.posterior
    off = {name: book.causes[name].base_rate_off for name in belief.causes}
    doubts = Sensitivity((), ()) if brief else sensitivity(found.network, belief, off)
    decision = decide(book, sheet, chained, belief, doubts, tools=tools, costs=costs, brief=brief)
    columns = {} if brief else {ledger.cause: ledger for ledger in ledgers(found.network, belief)}
    heard = spoken(found.network)
    return Triage(
        book_digest=book.digest,
        engine=engine or default_engine(),
        sheet=sheet,
        chained=chained,
        hypotheses=decision.hypotheses,
        not_in_book=belief.not_in_book,
        ledgers=tuple(columns[one.cause] for one in decision.hypotheses if one.cause in columns),
        sensitivity=doubts,
        next=decision.next,
        others=decision.others,
        tool=decision.tool,
        verdict=decision.verdict,
        spoken=heard,
        silent=() if brief else silent(book, chained, found.network, heard),
        left_out=decision.left_out,
        driving_on=driving_on(book, chained.facts),
        without_rules=without_rules(book, sheet),
        ask=None if brief else asked(whole, sheet, decision.hypotheses, decision.next),
        currency=costs.currency,
    )
