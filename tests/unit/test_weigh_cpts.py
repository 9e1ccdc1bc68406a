"""Which rules speak on an observable."""

from __future__ import annotations

import pytest

from helpers_weigh import a_book, code, fact, finding, result, weighs
from proveout.model.atom import Atom, Observable
from proveout.weigh.cpts import cpt

X = Observable("result", "x")
OLD, WET = fact("old"), fact("wet")


def test_nothing_weighs_an_unknown_observable() -> None:
    book = a_book(weighs("r", result("x"), {"a": 0.5}))
    assert cpt(book, frozenset(), Observable("code", "P0442")) is None


def test_a_rule_out_of_context_does_not_speak() -> None:
    book = a_book(weighs("r", result("x"), {"a": 0.5}, all_of=[OLD]))
    assert cpt(book, frozenset(), X) is None
    assert cpt(book, frozenset({OLD}), X) is not None


def test_states_figures_and_rules_are_laid_out_by_state() -> None:
    book = a_book(
        weighs("r-worse", result("x", "worse"), {"b": 0.2, "a": 0.3}, 0.01),
        weighs("r-bad", result("x"), {"a": 0.5}, 0.02),
    )
    how = cpt(book, frozenset(), X)
    assert how is not None
    assert how.states == ("bad", "worse")
    assert how.background == (0.02, 0.01)
    assert list(how.given.items()) == [("a", (0.5, 0.3)), ("b", (0.0, 0.2))]
    assert how.spoke == {"": ("r-bad", "r-worse"), "a": ("r-bad", "r-worse"), "b": ("r-worse",)}


def test_rules_naming_different_causes_add_up() -> None:
    book = a_book(weighs("r1", result("x"), {"a": 0.5}, 0.02), weighs("shop", result("x"), {"b": 0.4}))
    how = cpt(book, frozenset(), X)
    assert how is not None
    assert how.given == {"a": (0.5,), "b": (0.4,)}
    assert how.background == (0.02,)


def test_the_most_specific_rule_speaks_for_each_cause() -> None:
    book = a_book(
        weighs("r1", result("x"), {"a": 0.5, "b": 0.4}, 0.02),
        weighs("r2", result("x"), {"a": 0.7}, all_of=[OLD]),
        weighs("r3", result("x"), {"a": 0.9}, 0.05, all_of=[OLD, WET]),
    )
    by_facts = {
        frozenset[Atom](): ((0.5,), (0.02,), ("r1",)),
        frozenset({OLD}): ((0.7,), (0.02,), ("r2",)),
        frozenset({OLD, WET}): ((0.9,), (0.05,), ("r3",)),
        frozenset({WET}): ((0.5,), (0.02,), ("r1",)),
    }
    for facts, (given, background, spoke) in by_facts.items():
        how = cpt(book, facts, X)
        assert how is not None
        assert (how.given["a"], how.background, how.spoke["a"]) == (given, background, spoke)
        assert how.given["b"] == (0.4,)


def test_a_state_that_no_rule_gives_a_background_has_none() -> None:
    how = cpt(a_book(weighs("r", result("x"), {"a": 0.5})), frozenset(), X)
    assert how is not None
    assert how.background == (0.0,)
    assert "" not in how.spoke


def test_negative_and_alternative_context() -> None:
    book = a_book(weighs("r", result("x"), {"a": 0.5}, any_of=[OLD, WET], none_of=[finding("dry")]))
    assert cpt(book, frozenset({WET}), X) is not None
    assert cpt(book, frozenset(), X) is None
    assert cpt(book, frozenset({WET, finding("dry")}), X) is None


@pytest.mark.parametrize("seen", [None, "ok", "worse", "bad"])
def test_the_state_that_was_seen_does_not_choose_the_table(seen: str | None) -> None:
    """A possible and a finished inspection answer by the same table."""
    book = a_book(
        weighs("r1", result("x"), {"a": 0.5}, none_of=[result("x", "ok")]),
        weighs("r2", result("x", "worse"), {"a": 0.2}),
    )
    facts = frozenset({result("x", seen)} if seen else ())
    how = cpt(book, facts, X)
    assert how is not None
    assert how.given == {"a": (0.5, 0.2)}


def test_rules_in_conflict_still_give_one_answer() -> None:
    """The check refuses these; the widest condition speaks, then the first id, whatever the order."""
    rules = [
        weighs("r2", result("x"), {"a": 0.2}, all_of=[WET]),
        weighs("r1", result("x"), {"a": 0.1}, all_of=[OLD]),
        weighs("r3", result("x"), {"a": 0.3}, all_of=[fact("hot"), fact("high")]),
    ]
    facts = frozenset({OLD, WET})
    for order in (rules, rules[::-1]):
        how = cpt(a_book(*order), facts, X)
        assert how is not None
        assert how.given["a"] == (0.1,)
        wide = cpt(a_book(*order), facts | {fact("hot"), fact("high")}, X)
        assert wide is not None
        assert wide.given["a"] == (0.3,)


def test_a_finding_can_be_weighed() -> None:
    book = a_book(
        weighs("r", finding("small-leak"), {"a": 0.5}, all_of=[OLD]), weighs("c", code("P0442"), {"a": 0.1})
    )
    how = cpt(book, frozenset({OLD, finding("small-leak")}), Observable("finding", "small-leak"))
    assert how is not None
    assert (how.states, how.given) == (("true",), {"a": (0.5,)})
