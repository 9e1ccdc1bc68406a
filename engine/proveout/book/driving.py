"""Entries on driving on out of nodes."""

from __future__ import annotations

from proveout.book.conditions import parse_when, word
from proveout.book.entry import RawEntry
from proveout.book.fields import texts
from proveout.book.remembered import remembered_with_problems
from proveout.model.book import Predicate
from proveout.model.problem import Problem
from proveout.model.rule import When
from proveout.model.urgency import Driving


@remembered_with_problems
def build_driving(entry: RawEntry, problems: list[Problem]) -> tuple[Driving, tuple[Predicate, ...]]:
    """Build an entry; gives with it the predicates that its conditions rest on."""
    node = entry.node
    condition = node.get("when")
    parsed = parse_when(condition, problems) if condition is not None else None
    driving = Driving(
        id=entry.id,
        do=word(node, "do"),
        because=word(node, "because"),
        source=word(node, "source"),
        when=parsed.when if parsed else When(),
        families=texts(node, "families"),
        cautions=texts(node, "cautions"),
        place=entry.place,
        layer=entry.layer,
    )
    return driving, parsed.predicates if parsed else ()
