"""Where the two leads of a meter go, as the words of an inspection say it."""

from __future__ import annotations

import re

from msgspec import Struct

#: What the second of two like places is called.
OTHER = "the other one"

#: How a lead is brought to its place, in words.
_TO = (
    r"(?: lead| pin| clip)?(?:,? on a long lead,)?(?: back)?(?:-probed|-probing| touching)?"
    r"(?: on a fine pin)?(?: touching)?(?: on| at| in| to| against)?"
)
_WHAT = r"(?P<{0}>[^,;.:()]+)"
_RED = re.compile(r"\bred\b" + _TO + " " + _WHAT.format("what"), re.IGNORECASE)
_BLACK = re.compile(r"\bblack\b" + _TO + " " + _WHAT.format("what"), re.IGNORECASE)
#: Ways of naming two places without a colour.
_BOTH = tuple(
    re.compile(found.format(_WHAT.format("one"), _WHAT.format("other"), to=_TO), re.IGNORECASE)
    for found in (
        r"\b(?:one|a) (?:lead|pin){to} {0}(?:,| and)+ (?:the other|a long one){to} {1}",
        r"\bone lead{to} {0}, one{to} {1}",
        r"\bbetween {0} and {1}",
        r"\bfrom {0} to {1}",
        r"\bohms: {0} to {1}",
    )
)
#: Ways of naming two like ends at once: the other one is then not named.
_EACH = tuple(
    re.compile(found.format(_WHAT.format("what")), re.IGNORECASE)
    for found in (
        r"\b(?:a|one) (?:lead|pin)(?: on| at)?(?: the metal)?(?: in| on| at)? each "
        r"(?:of (?:its|the) (?:two )?)?{0}",
        r"\b(?:both|the) leads on (?:the )?{0}",
        r"\b(?:across|between) (?:the )?(?:two )?{0}",
        r"\bpins back-probed on (?:its )?{0}",
    )
)
_COUNT = re.compile(r"\b(?:two|both) ")
_MANY = re.compile(r"\b(?:pins|wires|terminals)\b")
#: What a place begins with that only says how it is touched, and what may end it that only leads on.
_TOUCH = re.compile(
    r"^(?:a (?:back-probe |fine )?pin (?:slid )?(?:in|into|at) |the back of |each of the (?=two)|"
    r"the edge of )+"
)
_JOINS = re.compile(r"\s+(?:and|or|with|in turn|meanwhile|by a long lead|away from .*|which the .*)$")


class Leads(Struct, frozen=True):
    """Where the leads go.

    Attributes:
        red, black: their places, in the words of the inspection.
        coloured: whether it matters which lead is which.
    """

    red: str
    black: str
    coloured: bool = True


def leads_of(text: str) -> Leads | None:
    """Return where the leads go, or None where the words do not say it of both."""
    text = re.sub(r"\([^)]*\)", "", text)
    red, black = _RED.search(text), _BLACK.search(text)
    if red and black:
        return Leads(_tidy(red["what"]), _tidy(black["what"]))
    found = [match for form in (*_BOTH, *_EACH) if (match := form.search(text))]
    if not found:
        return None
    first = min(found, key=lambda match: match.start())
    if "what" not in first.groupdict():
        return Leads(_tidy(first["one"]), _tidy(first["other"]), coloured="black" in text.casefold())
    what = _tidy(_COUNT.sub("", first["what"]))
    return Leads(f"one of the {what}" if _MANY.search(what) else f"one {what}", OTHER, False)


def _tidy(text: str) -> str:
    """Return a place without the words that say how it is touched, and those that lead on from it."""
    place = _JOINS.sub("", " ".join(text.split()))
    place = _TOUCH.sub("", place)
    return re.sub(r"^the (?=\w)", "", place)
