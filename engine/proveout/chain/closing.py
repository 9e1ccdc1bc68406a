"""Closing a case under a book's rules, with the engine that is wanted or at hand."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module

from proveout.chain import reference
from proveout.chain.applying import applying, seen_in
from proveout.chain.stages import Stage, layout_of
from proveout.chain.trace import trace
from proveout.model.atom import Atom
from proveout.model.book import Book
from proveout.model.chained import Chained
from proveout.model.problem import EngineError

#: What an engine does: rules of a stage and the facts before it give the ids of the rules that fired and the
#: facts after it.
Run = Callable[[Stage, frozenset[Atom]], tuple[frozenset[str], frozenset[Atom]]]


def close(book: Book, atoms: frozenset[Atom], engine: str | None = None) -> Chained:
    """Close the facts of a case under the rules of a book, and tell which rules hold.

    The engine chains the rules that conclude findings; what the weighing rules say of the closed facts is
    looked up (see ``applying``). The same facts give the same answer whichever engine runs and in whatever
    order they came. There is nothing to take back: a changed case is closed anew.

    Args:
        book: the compiled book.
        atoms: what is known of the case.
        engine: one of ``engines()``, or None for the default.

    Raises:
        EngineError: no such engine here, or a book beyond the limits of chaining.
    """
    run = _engine(engine or default_engine())
    layout = layout_of(book)
    facts = frozenset(atoms)
    fired: set[str] = set()
    for stage in layout.stages:
        if stage.concluding:
            now, facts = run(stage, facts)
            fired |= now
    speaking = applying(book, facts, sorted(seen_in(book, facts)))
    held = (rule for rules in speaking.values() for rule in rules if book.rules[rule].observes in facts)
    return trace(book.rules, fired.union(held), facts, layout.findings, speaking)


def engines() -> tuple[str, ...]:
    """Return the names of the engines that can be used here."""
    return ("durable", "reference") if _durable() else ("reference",)


def default_engine() -> str:
    """Return the name of the engine used where none is asked for."""
    return engines()[0]


def _engine(name: str) -> Run:
    """Return the engine of that name."""
    if name == "reference":
        return reference.run
    if name == "durable" and (run := _durable()):
        return run
    known = ", ".join(engines())
    raise EngineError(f"there is no engine {name!r} here; expected one of: {known}")


@cache
def _durable() -> Run | None:
    """Return durable_rules behind its adapter; None where it cannot be imported (Python 3.13 and later)."""
    try:
        run: Run = import_module("proveout.chain.durable").run
    except ImportError:
        return None
    return run
