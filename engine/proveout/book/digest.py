"""The book's digest: the same content gives the same digest, however it is spread over files and layers."""

from __future__ import annotations

import hashlib

from proveout.book.raw import RawBook
from proveout.text.canonical import canonical
from proveout.text.node import plain


def digest_of(raw: RawBook) -> str:
    """Return the SHA-256, in hex, of the RFC 8785 canonical JSON of all entries by kind and id."""
    content = {
        kind: {
            name: {key: value for key, value in plain(entry.node).items() if key != "replaces"}
            for name, entry in entries.items()
        }
        for kind, entries in raw.entries.items()
        if entries  # a kind that a later version adds leaves the digests of older books as they were
    }
    return hashlib.sha256(canonical(content)).hexdigest()
