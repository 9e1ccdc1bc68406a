"""What chaining gives: the closed set of facts and the trace of the rules that hold in it."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from proveout.model.atom import Atom, Observable


class Fired(Struct, frozen=True, order=True):
    """A rule whose condition holds.

    Attributes:
        depth: length of the longest chain of findings below it (0 when it rests on the case alone).
        rule: its id.
        matched: the positive atoms that satisfied it, sorted: all of ``all`` and those of ``any`` that hold.
        concludes: the finding it concluded, or empty for a weighing rule.
    """

    depth: int
    rule: str
    matched: tuple[Atom, ...]
    concludes: str = ""


class Chained(Struct, frozen=True):
    """The closure of a case under the book's rules.

    Attributes:
        facts: the case's atoms and every finding concluded.
        fired: every rule whose condition holds, sorted by (depth, rule id).
        applying: for each weighed observable of which the facts hold a state, the ids of the rules that speak
            on it, sorted: those on the state that was seen, which hold, and those on its other states.
    """

    facts: frozenset[Atom]
    fired: tuple[Fired, ...]
    applying: Mapping[Observable, tuple[str, ...]] = field(default_factory=dict)
