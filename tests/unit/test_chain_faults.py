"""Faults of durable_rules 2.0.28 that hang, crash or lose, each shown first in the library alone.

The figures were measured with these scripts and agree with the table sizes in its sources (512 entries of a
hash table, 256 of a list, 16 messages a frame). Where a fault is often put otherwise, the test says so.
"""

from __future__ import annotations

import sys

import pytest

from helpers_chain import agreed, alone, apart, book_of, code, conclude, ends, found, needs_durable
from proveout.chain import clauses, close
from proveout.chain.stages import layout_of
from proveout.model.problem import EngineError

pytestmark = needs_durable

#: For what fills or measures memory in ways that only Linux and its C library have.
on_linux = pytest.mark.skipif(sys.platform != "linux", reason="memory is watched in ways of Linux")

#: Seconds after which a script that takes a tenth of one is called hung.
SOON = 4.0


def test_512_distinct_values_hang() -> None:
    script = """
        n = {n}
        host = Host({{"x": {{f"r{{i}}": one(f"t{{i}}", i) for i in range(n)}}}})
        print("compiled", flush=True)
        told(host, {{"a": "t0"}}, {{"a": f"t{{n - 1}}"}})
        print(fired)
    """
    assert alone(script.format(n=511)) == ("done", "compiled\n[0, 510]")
    ending, printed = alone(script.format(n=512), SOON)
    assert ending == "hung" or "error code: 303" in printed, "asserting must be seen to fail"
    assert alone(script.format(n=513), SOON) == ("hung", ""), "compiling must be seen to hang"
    assert clauses.MOST_ATOMS + 1 < 512, "the clause that catches everything takes one more"


def test_many_distinct_values_are_spread_over_rulesets() -> None:
    assert apart(
        """
        from helpers_chain import agreed, book_of, code, conclude, ends, found
        rules = [ends(f"w{n:04}", code(n)) for n in range(1500)]
        rules += [conclude(f"c{n:04}", f"x{n}", code(n), code(n + 1)) for n in range(700)]
        rules += [ends(f"v{n:04}", found(f"x{n}"), code(n)) for n in range(700)]
        wide = [ends(f"u{n:04}", code(n), code(n + 500), code(n + 1000)) for n in range(500)]
        for chosen in (rules, wide):
            print(len(agreed(book_of(*chosen), map(code, range(1500))).fired))
        """
    ) == ("done", "2900\n500")


def test_256_conditions_of_one_value_crash_or_hang() -> None:
    """Often put at about 130: that is 128 rules with the value in two conditions each, 256 in all."""
    script = """
        host = Host({{"x": {{f"r{{i}}": both({values}) for i in range({n})}}}})
        told(host, {{"a": "t0"}}{more})
        print(len(fired))
    """

    def tried(n: int, values: str, more: str = "") -> tuple[str, str]:
        return alone(script.format(n=n, values=values, more=more), SOON)

    second = ', *({"a": f"u{i}"} for i in range(256))'
    assert tried(255, '"t0"') == ("done", "255")
    # What follows the full list in memory decides whether each of these crashes, hangs or, by luck, is right.
    endings = (tried(256, '"t0"'), tried(128, '"t0", "t0"'), tried(256, '"t0", f"u{i}", f"v{i}"', second))
    assert endings != (("done", "256"), ("done", "0"), ("done", "0"))
    assert "error code: 108" in tried(257, '"t0"')[1]
    assert clauses.MOST_MENTIONS < 256


def test_one_atom_in_many_rules_is_spread_over_rulesets() -> None:
    assert apart(
        """
        from helpers_chain import agreed, book_of, code, conclude, ends, found
        hot = code("hot")
        rules = [conclude(f"c{n:03}", f"x{n}", hot, code(n)) for n in range(450)]
        rules += [ends(f"w{n:03}", hot, found(f"x{n}")) for n in range(450)]
        rules += [ends(f"v{n:03}", hot) for n in range(600)]
        print(len(agreed(book_of(*rules), [hot, *map(code, range(450))]).fired))
        """
    ) == ("done", "1500")


def test_a_chain_that_crosses_rulesets_closes() -> None:
    """Rulesets of one stage must pass findings on to each other, whatever the split."""
    count = 2 * clauses.MOST_CLAUSES
    book = book_of(
        conclude("c000", "x0", code(0), code(1)),
        *(conclude(f"c{n:03}", f"x{n}", found(f"x{n - 1}")) for n in range(1, count)),
    )
    for facts in ({code(0)}, {code(0), code(1)}):
        assert len(clauses.packs_for(layout_of(book).stages[0], frozenset(facts))) > 1
    assert agreed(book, {code(0), code(1)}).fired[-1].depth == count - 1
    assert agreed(book, {code(0)}).fired == (), "the further rulesets are told nothing at all"


def test_rules_beyond_memory_are_refused_not_tried() -> None:
    count = (clauses.MOST_RULESETS + 1) * clauses.MOST_ATOMS
    book = book_of(*(conclude(f"c{n}", "x", code(n)) for n in range(count)))
    with pytest.raises(EngineError, match="more rules than durable_rules can hold at once"):
        close(book, frozenset(map(code, range(count))), "durable")
    assert len(close(book, frozenset(map(code, range(count))), "reference").fired) == count
    assert len(agreed(book, {code(7)}).fired) == 1, "only what the case touches counts"


def test_any_of_n_fires_for_every_subset_and_fails_at_17() -> None:
    """Often put as a crash at about 31; what we see is an error from the 17th alternative that holds."""
    script = """
        host = Host({{"x": {{"r": {{"any": [{{f"m{{i}}": {{"a": f"t{{i}}"}}}} for i in range({n})],
                             "run": note(1)}}}}}})
        told(host, *({{"a": f"t{{i}}"}} for i in range({n})))
        print(len(fired))
    """
    assert alone(script.format(n=5)) == ("done", str(2**5 - 1))
    assert alone(script.format(n=10)) == ("done", str(2**10 - 1))
    assert "error code: 304" in alone(script.format(n=17))[1]


def test_any_of_40_fires_once() -> None:
    assert apart(
        """
        from helpers_chain import agreed, book_of, code, conclude, ends, found
        many = [code(n) for n in range(40)]
        rules = [ends("w", code(99), any_of=many), conclude("c", "x", any_of=many), ends("z", found("x"))]
        book = book_of(*rules)
        for facts in ([code(99)], [code(99), code(5)], [code(99), *many]):
            print([step.rule for step in agreed(book, facts).fired])
        """
    ) == ("done", "[]\n['c', 'w', 'z']\n['c', 'w', 'z']")


def test_17_conditions_never_fire() -> None:
    """The adapter's side, for both engines, is in test_chain_close.py."""
    script = """
        values = [f"t{{i}}" for i in range({n})]
        told(Host({{"x": {{"r": both(*values), "seen": seen()}}}}), *({{"a": v}} for v in values))
        print(fired)
    """
    assert alone(script.format(n=16)) == ("done", "[1]")
    assert alone(script.format(n=17)) == ("done", "Could not assert fact, error code: 304\n[]")


def test_no_conditions_never_fire_or_hang() -> None:
    """Often put as an empty ``all`` that hangs; that one never fires, but an empty ``$and`` hangs."""
    script = """
        rule = {{"all": {all}, "run": note(1)}}
        told(Host({{"x": {{"r": rule, "seen": seen()}}}}), {{"a": "t0"}}, {{"a": "t1"}})
        print(fired)
    """
    assert alone(script.format(all="[]")) == ("done", "[]")
    assert alone(script.format(all='[{"m": {"$and": []}}]'), SOON) == ("hung", "")


def test_a_rule_of_negations_alone_fires() -> None:
    script = """
        from helpers_chain import agreed, book_of, code, conclude, ends, found
        book = book_of(conclude("c", "x", none_of=[code(0)]), ends("w", found("x")), ends("v"))
        for facts in ([], [code(1)], [code(0)]):
            print([step.rule for step in agreed(book, facts).fired])
    """
    assert apart(script) == ("done", "['c', 'v', 'w']\n['c', 'v', 'w']\n['v']")


def test_a_fact_cannot_serve_two_conditions_of_a_rule() -> None:
    script = """
        told(Host({"x": {"r": both("t0", "t0"), "seen": seen()}}), {"a": "t0"})
        print(fired)
    """
    assert alone(script) == ("done", "[]")
    assert len(agreed(book_of(ends("w", code(0), code(0), any_of=[code(0)])), {code(0)}).fired) == 1


@on_linux
def test_dropping_a_session_in_which_nothing_ran_crashes() -> None:
    script = """
        for i in range(20):
            host = Host({"x": {"r": both("t0", "t1")}})
            told(host, {"a": "t0", "sid": "s"})
            host.delete_state("x", "s")
        print("done")
    """
    assert alone(script, MALLOC_PERTURB_="165")[0] == "crashed"
    ours = """
        from helpers_chain import agreed, book_of, code, ends
        for n in range(20):
            agreed(book_of(ends("w", code(0), code(1))), {code(n)})
        print("done")
    """
    assert apart(ours, MALLOC_PERTURB_="165") == ("done", "done")


@on_linux
def test_sessions_and_rulesets_are_never_freed() -> None:
    script = """
        host = Host({"x": {"r": one("t0")}})
        try:
            for i in range(1500): host.assert_fact("x", {"a": "t0", "sid": f"s{i}"})
        except MemoryError:
            print(i)
        def pages(): return int(open("/proc/self/statm").read().split()[1])
        before = pages()
        for i in range(40): told(Host({"x": {f"r{i}": both(f"t{i}", "u") for i in range(100)}}), {"a": "t1"})
        print((pages() - before) // 256 > 20, "MiB")
    """
    assert alone(script) == ("done", "1024\nTrue MiB")


@on_linux
def test_closing_a_thousand_times_does_not_grow() -> None:
    script = """
        from helpers_chain import book_of, code, conclude, ends, found
        from proveout.chain import close
        rules = [conclude(f"c{n}", f"x{n}", code(n), code(n + 1)) for n in range(20)]
        rules += [ends(f"w{n}", code(n), found(f"x{n}")) for n in range(20)]
        book = book_of(*rules)
        def closed(times):
            for n in range(times): close(book, frozenset({code(n % 20), code(n % 20 + 1)}), "durable")
            return int(open("/proc/self/statm").read().split()[1])
        before = closed(100)
        grown = (closed(1400) - before) / 256
        print(grown < 3, grown, "MiB")
    """
    ending, printed = apart(script, 60.0)
    assert ending == "done"
    assert printed.startswith("True"), printed
