"""Closing: what fires, in which order it is told, and which books are refused."""

from __future__ import annotations

import pytest

from helpers_chain import agreed, apart, book_of, by_force, code, conclude, ends, found
from proveout.chain.closing import close, default_engine, engines
from proveout.chain.stages import MOST_CONDITIONS
from proveout.model.atom import Atom
from proveout.model.chained import Fired
from proveout.model.problem import EngineError
from proveout.model.rule import Rule

A, B, C = code("A"), code("B"), code("C")


def firing(*rules: Rule, facts: set[Atom], stratum: dict[str, int] | None = None) -> list[str]:
    """Return the ids of the rules that fire, in the order told; every engine and brute force agree."""
    book = book_of(*rules, stratum=stratum)
    chained = agreed(book, facts)
    assert chained == by_force(book, facts)
    return [step.rule for step in chained.fired]


def test_a_rule_needs_all_of_all_and_one_of_any() -> None:
    rule = ends("w", A, any_of=[B, C])
    assert firing(rule, facts={A}) == []
    assert firing(rule, facts={B, C}) == []
    assert firing(rule, facts={A, C}) == ["w"]


def test_a_rule_that_any_satisfies_twice_fires_once() -> None:
    assert firing(ends("w", any_of=[A, B, C]), facts={A, B, C}) == ["w"]


def test_an_atom_in_all_and_any_counts_for_both() -> None:
    assert firing(ends("w", A, any_of=[A, B]), facts={A}) == ["w"]
    assert firing(ends("w", A, A), facts={A}) == ["w"]


def test_a_rule_without_conditions_fires_on_nothing() -> None:
    assert firing(ends("w"), conclude("c", "x", none_of=[A]), facts=set()) == ["c", "w"]


def test_a_negated_fact_silences() -> None:
    rule = ends("w", A, none_of=[B])
    assert firing(rule, facts={A}) == ["w"]
    assert firing(rule, facts={A, B}) == []


def test_a_negated_finding_waits_for_its_stratum() -> None:
    rules = [conclude("one", "x", A), conclude("two", "y", B, none_of=[found("x")])]
    late = ends("w", found("y"), none_of=[found("x")])
    level = {"one": 0, "two": 1}
    assert firing(*rules, late, facts={B}, stratum=level) == ["two", "w"]
    assert firing(*rules, late, facts={A, B}, stratum=level) == ["one"]


def test_the_trace_tells_the_longest_chain_and_what_matched() -> None:
    book = book_of(
        conclude("step-1", "x", A),
        conclude("step-2", "y", found("x")),
        conclude("short", "y", B),
        ends("last", C, any_of=[found("y"), found("x"), found("z")]),
    )
    assert agreed(book, {A, B, C}).fired == (
        Fired(0, "short", (B,), "y"),
        Fired(0, "step-1", (A,), "x"),
        Fired(1, "step-2", (found("x"),), "y"),
        Fired(2, "last", (C, found("x"), found("y")), "last"),
    )


def test_a_finding_that_the_case_brings_rests_on_nothing() -> None:
    chained = agreed(book_of(ends("w", found("x"))), {found("x")})
    assert chained.fired == (Fired(0, "w", (found("x"),), "w"),)


def test_facts_keep_what_no_rule_mentions() -> None:
    assert agreed(book_of(conclude("c", "x", A)), {A, B}).facts == {A, B, found("x")}


def test_the_default_is_the_first_engine_and_reference_is_always_there() -> None:
    assert default_engine() == engines()[0]
    assert engines() in {("durable", "reference"), ("reference",)}


@pytest.mark.parametrize("engine", engines())
class TestRefused:
    def test_findings_in_a_circle(self, engine: str) -> None:
        book = book_of(conclude("c", "x", found("y")), conclude("d", "y", found("x")))
        with pytest.raises(EngineError, match=r"circle: (x -> y -> x|y -> x -> y)"):
            close(book, frozenset({A}), engine)

    def test_a_finding_that_rests_on_itself(self, engine: str) -> None:
        with pytest.raises(EngineError, match="circle: x -> x"):
            close(book_of(conclude("c", "x", A, found("x"))), frozenset({A}), engine)

    def test_a_negation_in_the_same_stratum(self, engine: str) -> None:
        book = book_of(conclude("c", "x", A), conclude("d", "y", A, none_of=[found("x")]))
        with pytest.raises(EngineError, match="rule d stands in stratum 0, before x is settled"):
            close(book, frozenset({A}), engine)

    def test_a_stratum_below_what_the_rule_needs(self, engine: str) -> None:
        rules = (conclude("c", "x", A), conclude("d", "y", found("x")))
        with pytest.raises(EngineError, match="rule d stands in stratum 0"):
            close(book_of(*rules, stratum={"c": 1, "d": 0}), frozenset({A}), engine)

    def test_more_conditions_than_durable_rules_can_match(self, engine: str) -> None:
        atoms = [code(n) for n in range(MOST_CONDITIONS)]
        assert close(book_of(ends("w", *atoms)), frozenset(atoms), engine).fired
        with pytest.raises(EngineError, match="rule w has 17 conditions"):
            close(book_of(ends("w", *atoms, any_of=[A, B])), frozenset(atoms), engine)


def test_an_engine_that_is_not_there() -> None:
    with pytest.raises(EngineError, match=r"no engine 'steam' here; expected one of: (durable, )?reference"):
        close(book_of(), frozenset(), "steam")


def test_without_durable_rules_the_reference_serves() -> None:
    assert apart(
        """
        import sys
        sys.modules["durable"] = None
        from helpers_chain import book_of, code, conclude
        from proveout.chain.closing import close, default_engine, engines
        from proveout.model.problem import EngineError
        book = book_of(conclude("c", "x", code("A")))
        print(engines(), default_engine(), len(close(book, frozenset({code("A")})).fired))
        try:
            close(book, frozenset(), "durable")
        except EngineError as error:
            print(error)
        """
    ) == ("done", "('reference',) reference 1\nthere is no engine 'durable' here; expected one of: reference")


def test_the_answer_does_not_hang_on_the_hash_seed() -> None:
    script = """
        from helpers_chain import agreed, book_of, code, conclude, ends, found
        rules = [conclude(f"c{n}", f"f{n}", code(n), any_of=[code(n + 1), code(n + 2)]) for n in range(30)]
        rules += [ends(f"w{n}", found(f"f{n}"), none_of=[found(f"f{n + 1}")]) for n in range(30)]
        facts = {code(n) for n in (*range(9), *range(9, 40, 3))}
        print(agreed(book_of(*rules), facts).fired)
    """
    first, second = apart(script, PYTHONHASHSEED="1"), apart(script, PYTHONHASHSEED="2")
    assert first == second
    assert first[0] == "done"
    assert "w8" in first[1]
