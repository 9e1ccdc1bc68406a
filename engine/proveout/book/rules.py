"""Rules out of nodes."""

from __future__ import annotations

from proveout.book.conditions import items, parse_when, word
from proveout.book.fields import inner
from proveout.book.raw import RawEntry
from proveout.model.atom import OBSERVABLE_KINDS, Atom
from proveout.model.book import Predicate
from proveout.model.problem import Problem
from proveout.model.rule import FREQUENCY_WORDS, Example, Rule, When
from proveout.text.node import Mapping, Node, Scalar, plain


def build_rule(
    entry: RawEntry, weighed: frozenset[str], problems: list[Problem]
) -> tuple[Rule, tuple[Predicate, ...]]:
    """Build a rule; gives with it the predicates that its condition rests on.

    Args:
        entry: the node.
        weighed: ids of the findings that rules weigh; all other findings are context.
        problems: where complaints go.
    """
    node = entry.node
    parsed = parse_when(inner(node, "when"), problems)
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


def weighed_findings(entries: tuple[RawEntry, ...]) -> frozenset[str]:
    """Return the findings that some rule weighs.

    A weighing rule whose condition has no other observable than one finding weighs that finding.
    """
    found = set()
    for entry in entries:
        if "weigh" not in entry.node:
            continue
        when = parse_when(inner(entry.node, "when"), []).when
        seen = [atom for atom in when.all_of if atom.kind in OBSERVABLE_KINDS]
        findings = {atom.key for atom in seen if atom.kind == "finding"}
        if len(findings) == 1 and all(atom.kind == "finding" for atom in seen):
            found |= findings
    return frozenset(found)


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
