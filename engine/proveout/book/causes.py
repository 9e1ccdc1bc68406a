"""Causes out of nodes."""

from __future__ import annotations

from proveout.book.conditions import items, parse_when, word
from proveout.book.entry import RawEntry
from proveout.book.fields import inner, money, number, texts
from proveout.book.remembered import remembered_with_problems
from proveout.book.state import build_state
from proveout.model.book import Predicate
from proveout.model.entries import Cause, Factor, Remedy
from proveout.model.problem import Problem
from proveout.text.node import Mapping


@remembered_with_problems
def build_cause(entry: RawEntry, problems: list[Problem]) -> tuple[Cause, tuple[Predicate, ...]]:
    """Build a cause; gives with it the predicates that its factors rest on."""
    node = entry.node
    parsed = [
        (parse_when(part, problems), number(part, "times")) for part in items(node.get("more_likely_when"))
    ]
    cause = Cause(
        id=entry.id,
        title=word(node, "title"),
        component=word(node, "component"),
        base_rate=_base_rate(node, problems),
        base_rate_source=word(node, "base_rate_source"),
        remedy=_remedy(inner(node, "remedy"), problems),
        factors=tuple(Factor(condition.when, times) for condition, times in parsed),
        before_buying=texts(node, "before_buying"),
        after_repair=texts(node, "after_repair"),
        fits=texts(node, "fits"),
        not_for=texts(node, "not_for"),
        place=entry.place,
        layer=entry.layer,
        comes_with=texts(node, "comes_with"),
        base_rate_off=_off(node, problems),
    )
    return cause, tuple(p for condition, _ in parsed for p in condition.predicates)


def _base_rate(node: Mapping, problems: list[Problem]) -> float:
    """Read ``N per 1000`` as a share."""
    text = word(node, "base_rate")
    rate = float(text.partition(" ")[0]) / 1000
    if 0 < rate < 1:
        return rate
    where = node.get("base_rate")
    place = where.place if where else node.place
    expected = "more than 0 and less than 1000 per 1000"
    problems.append(Problem(place, "base-rate", f"'{text}'", expected, "give the share of check-engine jobs"))
    return 0.5


def _off(node: Mapping, problems: list[Problem]) -> float:
    """Read by which factor the base rate may be off; 0.0 where it does not say."""
    text = word(node, "base_rate")
    _, stated, factor = text.partition(", to a factor of ")
    if not stated:
        return 0.0
    if float(factor) >= 1:
        return float(factor)
    where = node.get("base_rate")
    place = where.place if where else node.place
    expected, mend = "a factor of 1 or more", "give the larger estimate over the smaller"
    problems.append(Problem(place, "base-rate", f"'{text}'", expected, mend))
    return 0.0


def _remedy(node: Mapping, problems: list[Problem]) -> Remedy:
    """Build what mends a cause."""
    remedy = Remedy(
        action=word(node, "action"),
        part=word(node, "part"),
        part_cost=money(node, "part_cost", problems),
        minutes=number(node, "minutes"),
        access=texts(node, "access"),
        cautions=texts(node, "cautions"),
        notes=texts(node, "notes"),
        state=build_state(inner(node, "state")) if "state" in node else None,
    )
    if remedy.action == "replace" and not remedy.part:
        problems.append(
            Problem(node.place, "remedy-part", "'replace' without a part", "part", "say what to buy")
        )
    if "minutes" not in node and remedy.action not in ("refer", "nothing"):
        saw = f"'{remedy.action}' without 'minutes'"
        problems.append(Problem(node.place, "remedy-minutes", saw, "hands-on time", "say how long it takes"))
    return remedy
