"""A word that a person types for an entry of a vocabulary: its id, its title or one of its words."""

from __future__ import annotations

from collections.abc import Mapping

from proveout.model.entries import Component, Term, Tool


def resolve(given: str, terms: Mapping[str, Term] | Mapping[str, Component] | Mapping[str, Tool]) -> str:
    """Give the id that is meant, or the text itself where none is."""
    wanted = given.strip().casefold()
    if wanted in terms:
        return wanted
    hyphened = "-".join(wanted.split())
    if hyphened in terms:
        return hyphened
    for key, term in terms.items():
        names = (term.title, *getattr(term, "words", ()))
        if any(name.casefold() == wanted for name in names):
            return key
    return given
