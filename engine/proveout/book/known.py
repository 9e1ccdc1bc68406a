"""The ids that some layers know, whether or not all of their rules can be used."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from proveout.book.files import gather, lay
from proveout.book.named import TEXTS
from proveout.book.patterns import is_pattern
from proveout.book.raw import RawBook, assemble
from proveout.book.shipped import rules_dir
from proveout.model.problem import Problem
from proveout.text.compose import compose
from proveout.text.node import Mapping as MappingNode
from proveout.text.node import Scalar

#: Kind of the families of codes, of the names of patterns, and of former names by what they named.
FAMILIES, PATTERNS = "families", "patterns"


def known_ids(layers: Sequence[Path]) -> Mapping[str, Mapping[str, str]]:
    """Return the ids of each kind with their titles: those of the shipped book and of directories over it.

    Besides the kinds of entry there are ``families``, ``patterns`` and ``texts``. A former name counts as
    known, with that of today as its title. Rules include the rows.
    """
    problems: list[Problem] = []  # which `rules check` tells
    sources = [source for layer in lay(rules_dir(), layers) for source in gather(layer, problems)]
    raw = assemble(sources, problems)
    found = {kind: dict.fromkeys(sorted(names), "") for kind, names in raw.declared.items()}
    for kind, entries in raw.entries.items():
        for name, entry in entries.items():
            found[kind][name] = _text(entry.node, "title") or _text(entry.node, "meaning")
    found[FAMILIES] = dict.fromkeys(sorted(_families(raw)), "")
    found[TEXTS] = raw.texts.ids()
    found[PATTERNS] = {}
    for source in sources:
        if b"pattern:" in source.data:
            found[PATTERNS].update(_pattern(source.data, source.name))
    for kind, word in (("inspections", "inspection"), ("symptoms", "symptom")):
        found[kind].update({old: f"today {new}" for old, new in raw.former.ids[word].items()})
    return found


def _families(raw: RawBook) -> set[str]:
    return {_text(entry.node, "family") for entry in raw.of("codes").values()} - {""}


def _pattern(data: bytes, name: str) -> dict[str, str]:
    """Return the name of the pattern that a file holds, if it holds one that can be read."""
    from proveout.model.problem import BadInputError

    try:
        root = compose(data.decode("utf-8", "replace"), name)
    except BadInputError:
        return {}
    if not isinstance(root, MappingNode) or not is_pattern(root):
        return {}
    return {_text(root, "pattern"): _text(root, "title")}


def _text(node: MappingNode, key: str) -> str:
    value = node.get(key)
    return value.text if isinstance(value, Scalar) else ""
