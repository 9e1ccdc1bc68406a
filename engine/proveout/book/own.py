"""The own figures of certain vehicles out of nodes."""

from __future__ import annotations

from proveout.book.conditions import parse_when, word
from proveout.book.entry import RawEntry
from proveout.book.fields import inner
from proveout.book.remembered import remembered_with_problems
from proveout.model.book import Predicate
from proveout.model.problem import Problem
from proveout.model.rule import When
from proveout.model.specs import OwnFigures


@remembered_with_problems
def build_own_figures(entry: RawEntry, problems: list[Problem]) -> tuple[OwnFigures, tuple[Predicate, ...]]:
    """Build an entry; gives with it the predicates that its conditions rest on."""
    node = entry.node
    condition = node.get("when")
    parsed = parse_when(condition, problems) if condition is not None else None
    limits = inner(node, "limits")
    figures = OwnFigures(
        inspection=word(node, "inspection"),
        limits={key.name: word(limits, key.name) for key, _ in limits},
        reference=word(node, "reference"),
        when=parsed.when if parsed else When(),
        id=entry.id,
        place=entry.place,
        layer=entry.layer,
    )
    return figures, parsed.predicates if parsed else ()
