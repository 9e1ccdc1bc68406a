"""What an answer to an inspection means: one of its results, that it told nothing, or why it was not done."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from proveout.intake.resolve import Titled, choose, titled
from proveout.intake.tokens import sentences
from proveout.model.atom import CANNOT_TELL, COMES_BACK, STAYS_AWAY
from proveout.model.case import SET_ASIDE
from proveout.model.entries import Inspection

#: Other ways to say that an inspection was not done; what cannot be told is a result.
_ASIDE = {
    "cannot-reach": (
        "cannot reach it", "can't reach", "cannot get at it", "cannot get to it", "unable to reach it",
        "no access", "out of reach", "not reachable", "can't see it",
    ),
    "no-tool": (
        "I don't have that tool", "do not have the tools", "don't have the tool for it", "tool missing",
        "no tools", "no meter", "without the tool", "I lack the tool",
    ),
    "not-today": (
        "not now", "later", "another day", "tomorrow", "some other time", "no time", "not this time",
        "not here", "next time",
    ),
}  # fmt: skip
_TOLD_NOTHING = ("can't tell", "could not tell", "cannot say", "can't say", "unclear", "not clear")


#: What showed after something was put right, with other ways to say it.
SHOWED = {
    STAYS_AWAY: Titled("stays away", ("stayed away", "has not come back", "it is gone", "did not come back")),
    COMES_BACK: Titled("comes back", ("came back", "it is back", "has come back", "it is still there")),
}


def meant(words: Sequence[str], inspection: Inspection) -> tuple[str, ...]:
    """Return the words of an answer with the id of the result, or of why it was not done, in their place.

    What is a reading, or cannot be told for certain, is left as it was typed.
    """
    given = " ".join(words)
    results = titled([result.id for result in inspection.results])
    results[CANNOT_TELL] = Titled("cannot tell", _TOLD_NOTHING)
    if len(words) == 1 and (given in results or given in SET_ASIDE):
        return tuple(words)
    if inspection.reading is not None and re.search(r"\d", given):
        return tuple(words)
    found = _said(given, results) or choose(given, results).id or choose(given, _ASIDES).id
    return (found,) if found else tuple(words)


def _said(given: str, results: Mapping[str, Titled]) -> str:
    """Return the one result of which a text has the very words, in any form of them; else ""."""
    said = () if any(part.hedges for part in sentences(given)) else _words(given)
    same = [key for key, of in results.items() if said and said in map(_words, (of.title, *of.words))]
    return same[0] if len(same) == 1 else ""


def _words(text: str) -> tuple[tuple[str, bool], ...]:
    """Return the words of a text that count, each with whether it is denied."""
    return tuple((token.word, token.denied) for part in sentences(text) for token in part.tokens)


_ASIDES = {why: Titled(why.replace("-", " "), _ASIDE[why]) for why in SET_ASIDE}
