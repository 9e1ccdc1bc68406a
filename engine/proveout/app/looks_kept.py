"""What is kept of first looks at codes: the data with its digest, which tells a damaged one."""

from __future__ import annotations

import hashlib

#: Where they are kept, below the directory for what can be made again.
KEPT = "first-looks"


def sealed(data: bytes) -> str:
    """Return what is noted: the SHA-256 of some data in hex, and the data."""
    return hashlib.sha256(data).hexdigest() + data.decode()


def unsealed(note: str) -> bytes | None:
    """Return the data of a note, or None where it does not hold what it was given."""
    digest, data = note[:64], note[64:].encode()
    return data if note and hashlib.sha256(data).hexdigest() == digest else None
