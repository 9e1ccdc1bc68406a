"""Words of the book as people say them."""

from __future__ import annotations


def unhyphened(name: str) -> str:
    """Return a word of the book without hyphens: ``was-loose`` as was loose. Figures stay as they are."""
    return name.replace("-", " ") if name[:1].isalpha() else name
