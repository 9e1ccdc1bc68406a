"""The ids that some layers know, whether or not all of their rules can be used."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from proveout.book.fields import texts
from proveout.book.files import Source, gather, lay
from proveout.book.named import TEXTS
from proveout.book.patterns import Pattern, has_default
from proveout.book.raw import RawBook, assemble
from proveout.book.safety_limits import SECTION
from proveout.book.shipped import rules_dir
from proveout.model.problem import Problem
from proveout.text.node import Mapping as MappingNode
from proveout.text.node import Scalar

#: Kind of the families of codes, of the names of patterns, and of former names by what they named.
FAMILIES, PATTERNS, GROUPS, LIMITS = "families", "patterns", "groups", SECTION
#: Kinds of what entries are written with.
BLOCKS = (PATTERNS, GROUPS, TEXTS, LIMITS)


def known_ids(layers: Sequence[Path]) -> Mapping[str, Mapping[str, str]]:
    """Return the ids of each kind with their titles: those of the shipped book and of directories over it.

    Besides the kinds of entry there are ``families``, ``patterns`` and ``texts``. A former name counts as
    known, with that of today as its title. Rules include the rows.
    """
    problems: list[Problem] = []  # which `rules check` tells
    raw = assemble(_sources(layers, problems), problems)
    found = {kind: dict.fromkeys(sorted(names), "") for kind, names in raw.declared.items()}
    for kind, entries in raw.entries.items():
        for name, entry in entries.items():
            found[kind][name] = _text(entry.node, "title") or _text(entry.node, "meaning")
    found[FAMILIES] = dict.fromkeys(sorted(_families(raw)), "")
    found.update(_blocks(raw))
    for kind, word in (("inspections", "inspection"), ("symptoms", "symptom")):
        found[kind].update({old: f"today {new}" for old, new in raw.former.ids[word].items()})
    return found


def _families(raw: RawBook) -> set[str]:
    return {_text(entry.node, "family") for entry in raw.of("codes").values()} - {""}


def building_blocks(layers: Sequence[Path]) -> dict[str, dict[str, str]]:
    """Return what entries are written with and no book holds: patterns, groups, texts, safety limits.

    Each by id, with what is to be said of it: what a pattern must be given, the causes of a group, a text,
    what must not be exceeded.
    """
    problems: list[Problem] = []
    return _blocks(assemble(_sources(layers, problems), problems))


def _blocks(raw: RawBook) -> dict[str, dict[str, str]]:
    return {
        PATTERNS: {name: _asks(pattern) for name, pattern in sorted(raw.patterns.items())},
        GROUPS: {
            name: ", ".join(texts(entry.node, "causes")) for name, entry in sorted(raw.of(GROUPS).items())
        },
        TEXTS: raw.texts.ids(),
        LIMITS: {name: _text(entry.node, "text") for name, entry in sorted(raw.of(LIMITS).items())},
    }


def patterns_of(layers: Sequence[Path]) -> Mapping[str, Pattern]:
    """Return the patterns of the shipped book and of some layers, by id."""
    problems: list[Problem] = []
    return assemble(_sources(layers, problems), problems).patterns


def _sources(layers: Sequence[Path], problems: list[Problem]) -> list[Source]:
    return [source for layer in lay(rules_dir(), layers, "rules") for source in gather(layer, problems)]


def _asks(pattern: Pattern) -> str:
    """Return what a use of a pattern must give."""
    return "asks for " + ", ".join(name for name, how in pattern.takes.items() if not has_default(how))


def _text(node: MappingNode, key: str) -> str:
    value = node.get(key)
    return value.text if isinstance(value, Scalar) else ""
