"""Words that mislead across the Atlantic, said both ways where they are first met.

A torch is a hand lamp on the one side and a flame on the other: near fuel vapour that matters.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

#: British word, as a pattern -> what is said in North America.
_SAID = {
    "torch": "flashlight",
    "bonnet": "hood",
    "petrol": "gasoline",
    "spanner": "wrench",
    "silencer": "muffler",
    "windscreen": "windshield",
    "jump leads": "jumper cables",
    "crocodile clips": "alligator clips",
    "boot lid": "trunk lid",
    "boot floor": "trunk floor",
    "gearbox": "transmission",
    "paraffin": "kerosene",
    "motorway": "freeway",
}
_WORD = re.compile(rf"(?<![\w-])({'|'.join(_SAID)})(?![\w-])(?! \()", re.IGNORECASE)


def both_sides(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the texts of one page with the other side's word behind the first mention of each.

    A word whose counterpart stands anywhere in the texts stays as it is: its author has said both.
    """
    found = tuple(texts)
    whole = " ".join(found).lower()
    if not any(word in whole for word in _SAID):
        return found
    told = {word for word, other in _SAID.items() if other in whole}

    def said(match: re.Match[str]) -> str:
        word = match[0].lower()
        if word in told:
            return match[0]
        told.add(word)
        return f"{match[0]} ({_SAID[word]})"

    return tuple(_WORD.sub(said, text) for text in found)
