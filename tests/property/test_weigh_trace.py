"""The rules listed as speaking are those of the ledgers; others that hold say what silenced them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from helpers_shipped import shipped_book
from helpers_weigh import code, concludes, fact, finding, result, saw, weighs
from helpers_weigh_worlds import CONTEXT, World, worlds
from proveout.chain.closing import close, engines
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.atom import FINDING, Atom, Observable, observable_of
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.rule import Rule
from proveout.model.trace import BACKGROUND, GAVE_WAY, OVERRULED, SUBSUMED, Silent, Spoken
from proveout.weigh.inference import Inference, infer
from proveout.weigh.ledger import ledgers
from proveout.weigh.spoken import silent, spoken


class Traced:
    """A case, its ledgers and its trace."""

    def __init__(self, book: Book, sheet: Sheet, engine: str = "reference") -> None:
        self.book, self.sheet = book, sheet
        self.found: Inference = infer(book, sheet, engine)
        self.spoken = spoken(self.found.network)
        self.silent = silent(book, self.found.chained, self.found.network, self.spoken)

    def figures(self, parts: tuple[Spoken, ...] | tuple[Silent, ...]) -> set[tuple[str, str]]:
        """Return (rule, cause or BACKGROUND) of either half of the trace."""
        return {
            (one.rule, figure)
            for one in parts
            for figure in (*one.causes, *([BACKGROUND] if one.background else []))
        }


def check_ledgers(case: Traced) -> None:
    """The rules on a cause, with those on the background, are exactly those in the lines of its ledger."""
    for ledger in ledgers(case.found.network, case.found.posterior):
        listed: dict[str, set[str]] = {}
        for one in case.spoken:
            if one.background or ledger.cause in one.causes:
                listed.setdefault(str(one.observable), set()).add(one.rule)
        assert {e.what: set(e.rules) for e in ledger.entries if e.rules} == listed
    if not case.found.network.priors:
        assert case.spoken == ()


def check_partition(case: Traced) -> None:
    """Every figure of a rule that holds speaks or is silent, never both; nothing else is silent."""
    facts = case.found.chained.facts
    held = [r for r in case.book.rules.values() if r.observes and r.when.holds(facts)]
    given_by_them = {(r.id, c) for r in held for c in r.weights}
    given_by_them |= {(r.id, BACKGROUND) for r in held if r.otherwise is not None}
    speaking, quiet = case.figures(case.spoken), case.figures(case.silent)
    assert not speaking & quiet
    assert quiet <= given_by_them <= speaking | quiet


def check_reasons(case: Traced) -> None:
    """What is said to have silenced a rule did."""
    facts = case.found.chained.facts
    named = {e.cpt.observable: e for e in case.found.network.evidence}
    speaking = case.figures(case.spoken)
    for one in case.silent:
        rule = case.book.rules[one.rule]
        if one.how == OVERRULED:
            check_overruled(rule, case.book.rules[one.by], one, facts)
            continue
        by = named[Observable(FINDING, one.by)]
        assert rule.observable is not None and rule.observable not in named
        assert (rule.observable in by.subsumes) == (one.how == SUBSUMED)
        assert one.how == SUBSUMED or rule.observable.kind == FINDING
        assert not {(one.rule, cause) for cause in one.causes} & speaking


def check_overruled(rule: Rule, by: Rule, one: Silent, facts: frozenset[Atom]) -> None:
    """The other rule is on the same state, holds, is more specific, and gives the same figures."""
    assert by.observes == rule.observes and by.when.holds(facts)
    assert rule.context < by.context
    assert set(one.causes) <= by.weights.keys()
    assert by.otherwise is not None or not one.background


def check(case: Traced) -> None:
    check_ledgers(case)
    check_partition(case)
    check_reasons(case)


@settings(max_examples=150, deadline=None)
@given(worlds(findings=3))
def test_on_random_books_and_cases(world: World) -> None:
    check(Traced(world.book, world.sheet))


def test_on_shipped_codes_alone_and_two_together() -> None:
    book = shipped_book()
    codes = sorted(o.key for o in book.weighing if o.kind == "code")
    documents = [{"codes": [one]} for one in codes[::9]]
    documents += [{"codes": [a, b]} for a, b in zip(codes[::11], codes[1::11], strict=False)]
    documents += [{"codes": ["P0171", "P0174", "P0300"], "symptoms": ["rough-idle"]}]
    for document in documents:
        known = {k: [s for s in v if k == "codes" or s in book.words.symptoms] for k, v in document.items()}
        check(Traced(book, sheet_of(case_of(known, book), book)))


@pytest.mark.parametrize("engine", engines())
def test_both_lean_codes_speak_through_their_finding(engine: str) -> None:
    """The single-bank rules were once listed as speaking, while the ledger used the joint one alone."""
    book = shipped_book()
    case = Traced(book, sheet_of(case_of({"codes": ["P0171", "P0174"]}, book), book), engine)
    check(case)
    how = {one.rule: (one.how, one.by) for one in case.silent}
    assert how["code:P0171"] == how["code:P0174"] == (SUBSUMED, "lean-on-both-banks")
    assert "finding:lean-on-both-banks" in {one.rule for one in case.spoken}
    assert not {"code:P0171", "code:P0174"} & {one.rule for one in case.spoken}


def test_each_way_of_being_silent() -> None:
    a, b, c, old = code("P0001"), code("P0002"), result("look"), CONTEXT[0]
    rules = (
        weighs("a", a, {"x": 0.5, "y": 0.4}, 0.01),
        weighs("b", b, {"x": 0.6}, 0.02),
        weighs("c", c, {"x": 0.6, "z": 0.3}, 0.02),
        weighs("c-old", c, {"x": 0.9}, all_of=[old]),
        concludes("f1", "one", all_of=[a, b]),
        concludes("f2", "two", any_of=[b]),
        weighs("w1", finding("one"), {"x": 0.5}, 0.001),
        weighs("w2", finding("two"), {"x": 0.5}, 0.001),
    )
    case = Traced(World(rules, (), ()).book, World(rules, (saw(a), saw(b), saw(c)), (old,)).sheet)
    check(case)
    assert set(case.silent) == {
        Silent("a", SUBSUMED, "one", ("x",), True),
        Silent("b", SUBSUMED, "one", ("x",), True),
        Silent("c", OVERRULED, "c-old", ("x",)),
        Silent("w2", GAVE_WAY, "one", ("x",), True),
    }
    assert ("a", "y") in case.figures(case.spoken), "what the finding does not name keeps what it was given"
    assert fact("old") == old and observable_of(a).key == "P0001"
    assert close(case.book, case.sheet.atoms, "reference").applying[observable_of(c)] == ("c", "c-old")
