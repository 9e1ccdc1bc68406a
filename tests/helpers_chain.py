"""Books for chaining, their closure by brute force, and scripts run apart since they may hang or crash."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from textwrap import dedent

import pytest

from proveout.chain.closing import close, engines
from proveout.model.atom import CODE, FINDING, Atom, Observable, observable_of
from proveout.model.book import Book
from proveout.model.chained import Chained, Fired
from proveout.model.entries import Vocabulary
from proveout.model.rule import Rule, When

needs_durable = pytest.mark.skipif(
    "durable" not in engines(), reason="durable_rules does not import here (Python 3.13 and later)"
)

#: Before every script for the library alone: a host without timers, and actions that note a number.
_PREAMBLE = """
import sys, warnings
warnings.simplefilter("ignore")
from durable import engine
class Host(engine.Host):
    def _run(self): pass
fired = []
def note(what): return lambda c: fired.append(what)
def seen(): return {"all": [{"m": {"$ex": {"a": 1}}}], "run": lambda c: None}
def one(value, what=1): return {"all": [{"m": {"a": value}}], "run": note(what)}
def both(*values): return {"all": [{f"m{i}": {"a": v}} for i, v in enumerate(values)], "run": note(1)}
def told(host, *facts):
    for fact in facts:
        try: host.assert_fact("x", fact)
        except engine.MessageObservedException: print("observed")
        except engine.MessageNotHandledException: print("not handled")
        except Exception as error: print(error)
"""


def code(key: object) -> Atom:
    """Return the atom that a code is set."""
    return Atom(CODE, str(key), "set")


def found(key: object) -> Atom:
    """Return the atom that a finding holds."""
    return Atom(FINDING, str(key), "true")


def book_of(*rules: Rule, stratum: Mapping[str, int] | None = None) -> Book:
    """Return a book of nothing but rules; all conclude in stratum 0 unless said otherwise, ``ends`` last."""
    levels = dict(stratum or {})
    last = 1 + max(levels.values(), default=0)
    for rule in rules:
        if rule.concludes:
            levels.setdefault(rule.id, last if rule.concludes == rule.id else 0)
    weighing: dict[Observable, tuple[str, ...]] = {}
    for rule in rules:
        if rule.observable:
            weighing[rule.observable] = (*weighing.get(rule.observable, ()), rule.id)
    return Book({}, {}, {rule.id: rule for rule in rules}, Vocabulary(), stratum=levels, weighing=weighing)


def ends(name: str, *needed: Atom, any_of: Iterable[Atom] = (), none_of: Iterable[Atom] = ()) -> Rule:
    """Return a rule that concludes what nothing else needs: a finding of its own name."""
    return conclude(name, name, *needed, any_of=any_of, none_of=none_of)


def weigh(
    name: str, observes: Atom, *needed: Atom, any_of: Iterable[Atom] = (), none_of: Iterable[Atom] = ()
) -> Rule:
    """Return a weighing rule."""
    return Rule(name, When((observes, *needed), tuple(any_of), tuple(none_of)), observes=observes)


def conclude(
    name: str, finding: str, *needed: Atom, any_of: Iterable[Atom] = (), none_of: Iterable[Atom] = ()
) -> Rule:
    """Return a rule that concludes a finding."""
    return Rule(name, When(needed, tuple(any_of), tuple(none_of)), concludes=finding)


def by_force(book: Book, atoms: Iterable[Atom]) -> Chained:
    """Close facts by trying every rule, stratum by stratum, until nothing changes; count depths anew."""
    facts, (rules, levels) = set(atoms), _by_level(book)
    for level in levels:
        before = -1
        while before < len(facts):
            before = len(facts)
            facts |= {found(rule.concludes) for rule in level if rule.when.holds(facts)}
    closed = frozenset(facts)
    firing = [rule for rule in rules if rule.when.holds(closed)]

    below = [rule for rule in firing if rule.concludes]
    depths: dict[str, int] = {}

    def depth(rule: Rule) -> int:
        if rule.id not in depths:
            mine = matched(rule)
            depths[rule.id] = max(
                (1 + depth(one) for one in below if found(one.concludes) in mine), default=0
            )
        return depths[rule.id]

    def matched(rule: Rule) -> tuple[Atom, ...]:
        return tuple(sorted({*rule.when.all_of, *(a for a in rule.when.any_of if a in closed)}))

    steps = [Fired(depth(rule), rule.id, matched(rule), rule.concludes or "") for rule in firing]
    return Chained(
        closed,
        tuple(sorted(steps, key=lambda step: (step.depth, step.rule))),
        _would_speak(book, closed),
    )


#: The rules of the book closed last, and its concluding ones by stratum: looked up once for its many cases.
_LOOKED_UP: list[tuple[Book, list[Rule], list[list[Rule]]]] = []


def _by_level(book: Book) -> tuple[list[Rule], list[list[Rule]]]:
    if not _LOOKED_UP or _LOOKED_UP[0][0] is not book:
        rules = list(book.rules.values())
        levels: dict[int, list[Rule]] = {}
        for rule in rules:
            if rule.concludes:
                levels.setdefault(book.stratum[rule.id], []).append(rule)
        _LOOKED_UP[:] = [(book, rules, [levels[level] for level in sorted(levels)])]
    return _LOOKED_UP[0][1:]


def _would_speak(book: Book, closed: frozenset[Atom]) -> dict[Observable, tuple[str, ...]]:
    """Return, for each observable seen, the rules that hold once its state is what they observe, no other."""
    states: dict[Observable, set[Atom]] = {}
    for atom in closed:
        if observable_of(atom) in book.weighing:
            states.setdefault(observable_of(atom), set()).add(atom)
    facts = set(closed)  # changed and changed back, since copies of many facts take long

    def holds(rule: Rule, own: set[Atom]) -> bool:
        assert rule.observes
        facts.difference_update(own)
        facts.add(rule.observes)
        found = rule.when.holds(facts)
        facts.discard(rule.observes)
        facts.update(own)
        return found

    return {
        observable: tuple(name for name in sorted(book.weighing[observable]) if holds(book.rules[name], own))
        for observable, own in states.items()
    }


def agreed(book: Book, atoms: Iterable[Atom]) -> Chained:
    """Close with every engine, insist that all say the same, and give it."""
    facts = frozenset(atoms)
    first, *others = [close(book, facts, name) for name in engines()]
    assert all(other == first for other in others)
    return first


def apart(script: str, limit: float = 30.0, **env: str) -> tuple[str, str]:
    """Run a script in a process of its own.

    Returns:
        How it ended (``done``, ``failed``, ``crashed`` or ``hung``), and what it had printed by then.
    """
    here = str(Path(__file__).parent)
    command = [sys.executable, "-W", "ignore", "-c", dedent(script)]
    try:
        ran = subprocess.run(
            command,
            capture_output=True,
            text=True,
            timeout=limit,
            check=False,
            env={**os.environ, "PYTHONPATH": here, **env},
        )
    except subprocess.TimeoutExpired as late:
        printed = late.stdout or b""
        return "hung", printed.decode() if isinstance(printed, bytes) else printed
    ending = {0: "done"}.get(ran.returncode, "failed" if ran.returncode > 0 else "crashed")
    return ending, (ran.stdout + (ran.stderr if ending == "failed" else "")).strip()


def alone(script: str, limit: float = 30.0, **env: str) -> tuple[str, str]:
    """Run a script with the library and no adapter."""
    return apart(_PREAMBLE + dedent(script), limit, **env)
