"""A word that a person types for an entry of a vocabulary: its id, its title or one of its words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol


class Named(Protocol):
    """An entry with a title; most have words, too."""

    @property
    def title(self) -> str:
        """What it is called."""


def resolve(given: str, terms: Mapping[str, Named]) -> str:
    """Give the id that is meant, or the text itself where none is."""
    wanted = " ".join(given.split()).casefold()
    hyphened = wanted.replace(" ", "-")
    if hyphened in terms:
        return hyphened
    for key, term in terms.items():
        names = (term.title, *getattr(term, "words", ()))
        if any(name.casefold() == wanted for name in names):
            return key
    return given
