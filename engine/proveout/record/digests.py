"""The digest of a whole triage, kept in place of it, so that case files stay short enough to be read."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

import rfc8785


def triage_digest(document: Mapping[str, Any]) -> str:
    """Return a digest of a triage as JSON, the same wherever the rules lay and whichever engine ran."""
    kept = deepcopy(dict(document))
    if isinstance(kept.get("book"), dict):
        kept["book"].pop("engine", None)
    for rule in (rule for part in ("fired", "spoke", "silent") for rule in kept.get(part, ())):
        rule.pop("place", None)
    return hashlib.sha256(rfc8785.dumps(kept)).hexdigest()
