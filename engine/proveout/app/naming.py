"""Ids from what was typed: titles, words and beginnings serve as well."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from proveout.intake.resolve import Named, choose
from proveout.model.problem import NOWHERE, BadInputError, Problem, WrongUsageError


def id_of(kind: str, given: str, terms: Mapping[str, Named]) -> str:
    """Return the id of the entry that is meant.

    Raises:
        BadInputError: none is, or several may be; the nearest are named with their titles.
    """
    found = choose(given, terms)
    if found.id:
        return found.id
    near = " or ".join(f"{key} ({terms[key].title})" for key in found.near[:3])
    mend = f"did you mean {near}?" if near else "list them with: proveout rules list"
    expected = f"an id, a title or a word of the book for: {kind}"
    raise BadInputError(Problem(NOWHERE, "unknown-id", f"{kind} {given!r}", expected, mend))


def refuse_unknown(given: Iterable[str], known: Iterable[str], what: str) -> None:
    """Refuse what is not among the known words, with the nearest one that is.

    Raises:
        WrongUsageError: a word is not known.
    """
    from proveout.text.near import did_you_mean

    words = set(known)
    for word in given:
        if word not in words:
            hint = did_you_mean(word, words).replace("did", "Did", 1)
            raise WrongUsageError(f"{word} is no {what}. {hint}".rstrip())
