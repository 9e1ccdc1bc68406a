"""The book's digest: the same content gives the same digest, however it is spread over files and layers."""

from __future__ import annotations

import hashlib

from proveout.book.entry import RawEntry
from proveout.book.raw import RawBook
from proveout.book.remembered import remembered
from proveout.text.canonical import canonical_node, object_of
from proveout.text.node import Mapping


def digest_of(raw: RawBook) -> str:
    """Return the SHA-256, in hex, of the RFC 8785 canonical JSON of all entries by kind and id."""
    kinds = {
        kind: object_of({name: _spelled(entry) for name, entry in entries.items()})
        for kind, entries in raw.entries.items()
        if entries  # a kind that a later version adds leaves the digests of older books as they were
    }
    return hashlib.sha256(object_of(kinds)).hexdigest()


@remembered
def _spelled(entry: RawEntry) -> bytes:
    """Return the canonical JSON of an entry."""
    own = tuple(pair for pair in entry.node if pair[0].name != "replaces")
    return canonical_node(Mapping(own, entry.node.place))
