"""Faults of durable_rules 2.0.28 that give wrong answers quietly, each shown first in the library alone."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from itertools import cycle
from typing import Any

import pytest

from helpers_chain import agreed, alone, apart, book_of, code, conclude, ends, found, needs_durable
from proveout.chain.closing import close
from proveout.model.atom import Atom
from proveout.model.problem import EngineError

pytestmark = needs_durable


@pytest.fixture
def adapter() -> Any:
    """Return the adapter's module, which imports only where durable_rules does."""
    return pytest.importorskip("proveout.chain.durable")


def fnv1a(text: str) -> int:
    """Return the 32-bit FNV-1a hash (Fowler, Noll and Vo), by which the library tells facts apart."""
    value = 0x811C9DC5
    for byte in text.encode():
        value = (value ^ byte) * 16777619 & 0xFFFFFFFF
    return value


def test_fnv1a_is_the_published_one() -> None:
    """Test vectors from memory of the FNV reference page: empty, "a" and "foobar"."""
    assert [fnv1a(text) for text in ("", "a", "foobar")] == [0x811C9DC5, 0xE40C292C, 0xBF9CF968]


def test_different_facts_are_taken_for_the_same() -> None:
    """The ids that the library makes up are hashed to 32 bits; this pair was found among 50,000 values."""
    script = """
        rules = {"r": one("t17568", 1), "q": one("t48194", 2)}
        told(Host({"x": rules}), {"a": "t17568"}, {"a": "t48194"})
        print(fired)
        fired.clear()
        rules = {"r": one("t17568", 1), "q": one("t48194", 2)}
        told(Host({"x": rules}), {"a": "t17568", "id": "f0000"}, {"a": "t48194", "id": "f0001"})
        print(fired)
    """
    assert alone(script) == ("done", "observed\n[1]\n[1, 2]")


def test_the_ids_of_facts_have_different_hashes(adapter: Any) -> None:
    ruleset = adapter._Ruleset(adapter.Pack(), "x")
    ids = [ruleset._new_id() for _ in range(adapter.MOST_FACTS)]
    kept = [f"sid-{adapter._SESSION}", "$pulse"]  # what the library itself keeps in a session
    assert len({fnv1a(name) for name in ids + kept}) == len(ids) + len(kept)
    with pytest.raises(EngineError, match="more facts than durable_rules can tell apart"):
        ruleset._new_id()
    ruleset.drop()


def test_a_fact_wrongly_called_known_is_not_lost(adapter: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two ids of one hash, found as above, in place of ours."""
    assert fnv1a("f6059") == fnv1a("f264602")
    ids: Iterator[str] = iter(["f6059", "f264602", "f1", "f264602", "f2"])
    monkeypatch.setattr(adapter._Ruleset, "_new_id", lambda _: next(ids))
    book = book_of(ends("v", code(1)), ends("w", code(0), code(1)), ends("z", code(2)))
    assert close(book, frozenset(map(code, range(3))), "durable") == close(
        book, frozenset(map(code, range(3))), "reference"
    )
    assert next(ids, None) is None


def test_a_fact_called_known_for_ever_is_an_error(adapter: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    same = cycle(["f0"])
    monkeypatch.setattr(adapter._Ruleset, "_new_id", lambda _: next(same))
    with pytest.raises(EngineError, match="takes a new fact for one that it knows"):
        close(book_of(ends("w", code(0), code(1))), frozenset({code(0), code(1)}), "durable")


def test_an_unmatched_fact_raises_and_is_dropped() -> None:
    script = """
        host = Host({"x": {"r": one("t0")}})
        told(host, {"a": "t9"})
        print(host.get_facts("x"))
    """
    assert alone(script) == ("done", "not handled\n[]")
    assert agreed(book_of(ends("w", code(0), code(1))), {code(0), code(9)}).facts == {code(0), code(9)}


def test_a_batch_with_one_unmatched_fact_fires_nothing(adapter: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    script = """
        host = Host({"x": {"r": one("t0"), "q": one("t1")}})
        try: host.assert_facts("x", [{"a": "t0"}, {"a": "t9"}, {"a": "t1"}])
        except engine.MessageNotHandledException: print("raised")
        print(fired)
    """
    assert alone(script) == ("done", "raised\n[]")
    told: list[dict[str, str]] = []
    plain = adapter.durable_engine.Host.assert_fact

    def watched(self: Any, name: str, fact: dict[str, str]) -> Any:
        told.append(fact)
        return plain(self, name, fact)

    monkeypatch.setattr(adapter.durable_engine.Host, "assert_fact", watched)
    monkeypatch.delattr(adapter.durable_engine.Host, "assert_facts")
    agreed(book_of(ends("w", code(0), code(1))), {code(0), code(1)})
    assert [sorted(fact) for fact in told] == [["id", "sid", "token"]] * 2


def test_the_same_fact_twice_raises() -> None:
    script = """
        told(Host({"x": {"r": one("t0")}}), {"a": "t0"}, {"a": "t0"})
    """
    assert alone(script) == ("done", "observed")
    twice = book_of(conclude("c", "x", code(0)), conclude("d", "x", code(1)), ends("w", found("x")))
    assert len(agreed(twice, {code(0), code(1), found("x")}).fired) == 3


def test_negation_only_after_a_positive_condition_and_never_withdrawn() -> None:
    script = """
        no, yes = {"n$not": {"a": "t0"}}, {"m": {"a": "t1"}}
        for conditions, facts in (([no, yes], "1"), ([no], "1"), ([yes, no], "1"), ([yes, no], "01"),
                                  ([yes, no], "10")):
            fired.clear()
            host = Host({"x": {"r": {"all": conditions, "run": note(1)}, "seen": seen()}})
            told(host, *({"a": "t" + fact} for fact in facts))
            print(facts, fired)
    """
    assert alone(script) == ("done", "1 []\n1 []\n1 [1]\n01 []\n10 [1]")
    book = book_of(ends("w", code(1), none_of=[code(0)]))
    assert [len(agreed(book, facts).fired) for facts in ([code(1)], [code(0), code(1)], [])] == [1, 0, 0]


def test_an_alias_bound_by_nothing_fires(adapter: Any) -> None:
    script = """
        rule = {"all": [{"k": {"b": {"nowhere": "a"}}}], "run": note(1)}
        told(Host({"x": {"r": rule, "seen": seen()}}), {"a": "t0", "b": "t7"})
        print(fired)
    """
    assert alone(script) == ("done", "[1]")
    pack = adapter.Pack()
    pack.add(adapter.Clause((code(0), code(1)), ()))
    ruleset = adapter._Ruleset(pack, "x")
    assert ruleset._definition()["r0"]["all"] == [{"m0": {"token": "t0"}}, {"m1": {"token": "t1"}}]
    ruleset.drop()


def test_errors_and_exits_in_actions_are_swallowed() -> None:
    script = """
        def wrong(c): raise ValueError("lost")
        def leave(c): sys.exit(3)
        def stop(c): raise KeyboardInterrupt
        rules = {f"r{i}": {"all": [{"m": {"a": f"t{i}"}}], "run": run}
                 for i, run in enumerate((wrong, leave, stop))}
        told(Host({"x": rules}), {"a": "t0"}, {"a": "t1"}, {"a": "t2"})
        print("went on")
    """
    assert alone(script) == ("done", "went on")


@pytest.mark.parametrize("error", [ValueError, SystemExit, KeyboardInterrupt])
@pytest.mark.parametrize("action", ["_note_fired", "_note_arrived"])
def test_errors_in_our_actions_come_out(
    adapter: Any, monkeypatch: pytest.MonkeyPatch, action: str, error: type[BaseException]
) -> None:
    def fail(*_: Any) -> None:
        raise error("out")

    monkeypatch.setattr(adapter._Ruleset, action, fail)
    with pytest.raises(error, match="out"):
        close(book_of(ends("w", code(0))), frozenset({code(0)}), "durable")


def test_an_action_of_more_than_10_seconds_drops_the_rest(
    adapter: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The library reads the wall clock, so that a clock set forward or a sleeping computer is enough."""
    script = """
        from itertools import count
        ticks = count(0, 11)
        engine._unix_now = lambda: next(ticks)
        rules = {"r": one("t0", 1), "q": one("t0", 2), "p": one("t1", 3), "seen": seen()}
        told(Host({"x": rules}), {"a": "t0"}, {"a": "t1"})
        print(fired)
    """
    assert alone(script) == ("done", "[1]")
    ticks = iter(range(0, 10_000, 11))
    monkeypatch.setattr(adapter.durable_engine, "_unix_now", lambda: next(ticks))
    with pytest.raises(EngineError, match="broke off the actions of a fact"):
        close(book_of(ends("w", code(0)), ends("v", code(1))), frozenset({code(0), code(1)}), "durable")


def test_a_fact_that_never_arrives_is_an_error(adapter: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(adapter._Ruleset, "_note_arrived", lambda *_: None)
    with pytest.raises(EngineError, match="lost the fact code 0=set"):
        close(book_of(ends("w", code(0))), frozenset({code(0)}), "durable")


def test_one_and_true_and_text_are_the_same() -> None:
    script = """
        for wanted, given in ((1, True), (1, "1"), (True, 1), ("1", 1), (True, "true"), ("1", "1.0")):
            fired.clear()
            told(Host({"x": {"r": one(wanted), "seen": seen()}}), {"a": given})
            print(len(fired), end=" ")
    """
    assert alone(script) == ("done", "1 1 1 1 1 0")
    values = ("1", "True", "true", "1.0", "01")
    atoms = [Atom("fact", "x", value) for value in values]
    book = book_of(*(ends(f"w{n}", atom) for n, atom in enumerate(atoms)))
    for n, atom in enumerate(atoms):
        assert [step.rule for step in agreed(book, [atom]).fired] == [f"w{n}"]


def test_reserved_names_dots_and_big_numbers() -> None:
    """A condition on ``sid`` hangs, a shared ``id`` loses facts, dots reach inside, floats are rejected."""
    script = """
        name = {name!r}
        rule = {{"all": [{{"m": {{name: "t0"}}}}], "run": note(1)}}
        told(Host({{"x": {{"r": rule, "seen": seen()}}}}), *{facts!r})
        print(fired)
    """
    two = [{"sid": "t0", "a": "y"}, {"sid": "t0", "a": "z"}]
    assert alone(script.format(name="sid", facts=two), 4.0) == ("hung", "")
    two = [{"id": "t0", "a": "y"}, {"id": "t0", "a": "z"}]
    assert alone(script.format(name="id", facts=two)) == ("done", "observed\n[1]")
    inner = [{"b": {"c": "t0"}, "a": "z"}]
    assert alone(script.format(name="b.c", facts=inner)) == ("done", "[1]")
    ending, printed = alone(script.format(name="a", facts=[{"a": 1e300}, {"a": 1e-300}]))
    assert (ending, printed.count("error code: 204")) == ("done", 2)


def test_awkward_names_reach_no_library() -> None:
    names = ("sid", "id", "$s", "$m", "a.b", "1e300", 'say "so"', "", "\u00e9", "nul\0", "t0", "token")
    atoms = [Atom(kind, key, value) for kind in names[:4] for key in names for value in names[:4]]
    book = book_of(*(ends(f"w{n:03}", atom) for n, atom in enumerate(atoms)))
    assert len(agreed(book, atoms).fired) == len(atoms)
    assert [step.rule for step in agreed(book, atoms[7:8]).fired] == ["w007"]


def test_a_host_starts_timer_threads() -> None:
    script = """
        import threading
        engine.Host({"x": {"r": one("t0")}})
        print(threading.active_count())
    """
    assert alone(script) == ("done", "3")
    before = threading.active_count()
    close(book_of(ends("w", code(0))), frozenset({code(0)}), "durable")
    assert threading.active_count() == before


def test_what_a_withdrawn_fact_concluded_stays() -> None:
    """The adapter's side, on random books, is in test_chain_agree.py."""
    script = """
        pass_on = {"all": [{"m": {"a": "t0"}}], "run": lambda c: c.assert_fact({"a": "t1"})}
        host = Host({"x": {"r": pass_on, "seen": seen()}})
        told(host, {"a": "t0"})
        host.retract_fact("x", {"a": "t0"})
        print([fact["a"] for fact in host.get_facts("x")])
    """
    assert alone(script) == ("done", "['t1']")
    book = book_of(conclude("c", "x", code(0)), ends("w", found("x")))
    former = agreed(book, {code(1)})
    assert agreed(book, {code(0), code(1)}) != former
    assert agreed(book, {code(1)}) == former


def test_rulesets_of_the_rule_language_are_kept_for_all() -> None:
    script = """
        from durable import lang
        lang._main_host = Host()
        for times in "once", "twice":
            with lang.ruleset("x"):
                @lang.when_all(lang.m.a == "t0")
                def act(c): fired.append(1)
            try: lang.get_host(); print(times)
            except Exception as error: print(error)
    """
    assert alone(script) == ("done", "once\nRuleset with name x already registered")
    ours = """
        import sys
        from helpers_chain import book_of, code, ends
        from proveout.chain.closing import close
        for _ in range(2):
            print(len(close(book_of(ends("w", code(0))), frozenset({code(0)}), "durable").fired))
        print("durable.lang" in sys.modules)
    """
    assert apart(ours) == ("done", "1\n1\nFalse")
