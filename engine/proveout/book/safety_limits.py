"""What must not be exceeded, out of nodes: limits said once for many inspections, and an inspection's own."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from proveout.book.conditions import word
from proveout.book.entry import RawEntry
from proveout.book.fields import texts
from proveout.model.entries import SafetyLimit
from proveout.text.node import Mapping as MappingNode

#: The section of the limits that many inspections share.
SECTION = "safety-limits"
#: Where a limit comes from that does not say so.
UNSOURCED = "common practice, no source"


@lru_cache(maxsize=16)
def _known(shared: tuple[RawEntry, ...]) -> Mapping[str, SafetyLimit]:
    """Return the limits that many inspections share, by id."""
    return {entry.id: _shared(entry) for entry in shared}


def _shared(entry: RawEntry) -> SafetyLimit:
    return SafetyLimit(word(entry.node, "text"), word(entry.node, "source") or UNSOURCED, entry.id)


def limits_of(node: MappingNode, shared: tuple[RawEntry, ...]) -> tuple[SafetyLimit, ...]:
    """Return what an inspection must not exceed: the shared limits that it names, then its own.

    Names that no layer has are left out; a check complains of them.
    """
    known = _known(shared)
    named = tuple(known[name] for name in texts(node, "safety_limits") if name in known)
    own = word(node, "damage_limit")
    if not own:
        return named
    return (*named, SafetyLimit(own, word(node, "damage_limit_source") or UNSOURCED))
