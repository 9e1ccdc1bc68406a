"""Rules out of nodes."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from proveout.book.conditions import Parsed, items, parse_when, word
from proveout.book.entry import RawEntry
from proveout.book.fields import inner
from proveout.book.remembered import remembered, remembered_with_problems
from proveout.model.atom import OBSERVABLE_KINDS, Atom
from proveout.model.book import Predicate
from proveout.model.problem import Problem
from proveout.model.rule import FREQUENCY_WORDS, Example, Rule, When
from proveout.text.node import Mapping, Node, Scalar, plain


@remembered_with_problems
def build_rule(
    entry: RawEntry, problems: list[Problem], weighed: frozenset[str]
) -> tuple[Rule, tuple[Predicate, ...]]:
    """Build a rule; gives with it the predicates that its condition rests on.

    Args:
        entry: the node.
        problems: where complaints go.
        weighed: ids of the findings that rules weigh; all other findings are context.
    """
    node = entry.node
    parsed = _condition(entry, problems)
    weigh, conclude = inner(node, "weigh"), word(node, "conclude")
    rule = Rule(
        id=entry.id,
        when=parsed.when,
        concludes=conclude or None,
        observes=None if conclude else _observed(parsed.when, weighed),
        weights={key.name: frequency(value) for key, value in weigh},
        otherwise=frequency(node.get("otherwise")) if "otherwise" in node else None,
        because=word(node, "because"),
        source=word(node, "source"),
        examples=_examples(inner(node, "examples")),
        place=entry.place,
        layer=entry.layer,
        elsewhere={key.name: key.place for key, _ in weigh if key.place.file != entry.place.file},
    )
    return rule, parsed.predicates


@remembered_with_problems
def _condition(entry: RawEntry, problems: list[Problem]) -> Parsed:
    """Return the condition of a rule."""
    return parse_when(inner(entry.node, "when"), problems)


def weighed_findings(entries: Iterable[RawEntry]) -> frozenset[str]:
    """Return the findings that some rule weighs.

    A weighing rule whose condition has no other observable than one finding weighs that finding.
    """
    return _same(frozenset().union(*map(_weighed_by, entries)))


@lru_cache(maxsize=16)
def _same(names: frozenset[str]) -> frozenset[str]:
    """Return the very same set for the same names, which is quickly seen to be equal."""
    return names


@remembered
def _weighed_by(entry: RawEntry) -> frozenset[str]:
    """Return the finding that a rule weighs, if it weighs one."""
    if "weigh" not in entry.node:
        return frozenset()
    when = _condition(entry, []).when
    seen = [atom for atom in when.all_of if atom.kind in OBSERVABLE_KINDS]
    findings = frozenset(atom.key for atom in seen if atom.kind == "finding")
    alone = len(findings) == 1 and all(atom.kind == "finding" for atom in seen)
    return findings if alone else frozenset()


def observed_atoms(when: When, weighed: frozenset[str]) -> tuple[Atom, ...]:
    """Return the atoms of ``all`` that a weighing rule can be said to observe."""
    return tuple(atom for atom in when.all_of if is_observable(atom, weighed))


def is_observable(atom: Atom, weighed: frozenset[str]) -> bool:
    """Say whether an atom can be weighed, rather than being context."""
    return atom.kind in OBSERVABLE_KINDS and (atom.kind != "finding" or atom.key in weighed)


def _observed(when: When, weighed: frozenset[str]) -> Atom | None:
    """Return the one atom that a weighing rule observes, or None where it is not one."""
    found = observed_atoms(when, weighed)
    return found[0] if len(found) == 1 else None


def frequency(node: Node | None) -> float:
    """Read a frequency: a number, or a word of the scale."""
    value = node.value if isinstance(node, Scalar) else None
    return FREQUENCY_WORDS[value] if isinstance(value, str) else float(value or 0.0)


def _examples(node: Mapping) -> tuple[Example, ...]:
    """Build the examples, firing ones first."""
    return tuple(
        Example(plain(part), fires == "fires", part.place)
        for fires in ("fires", "silent")
        for part in items(node.get(fires))
    )
