"""What chaining gives: the closed set of facts and the trace of the rules that fired."""

from __future__ import annotations

from msgspec import Struct

from proveout.model.atom import Atom


class Fired(Struct, frozen=True, order=True):
    """A rule that fired.

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
        fired: every rule that fired, sorted by (depth, rule id).
    """

    facts: frozenset[Atom]
    fired: tuple[Fired, ...]
