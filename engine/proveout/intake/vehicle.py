"""Which kinds of vehicle a case is known to be, or not to be."""

from __future__ import annotations

import re

from proveout.model.case import Case
from proveout.model.vehicle import EXCLUSIVE, excluded_by

#: What is said of engine and fuel, and the kind that it means. Letters and digits around are no part of it.
_SAID = {
    "diesel": r"diesel",
    "petrol": r"petrol|gasoline|gas",
    "hybrid": r"hybrid",
    "turbo": r"turbo|turbocharged|turbocharger",
    "direct-injection": r"direct[ -]injection|gdi",
    "v-engine": r"v ?-?(?:6|8|10|12)",
    "in-line-engine": r"in-?line|straight[ -](?:three|four|five|six|3|4|5|6)",
    "coil-per-plug": r"coil[ -](?:on|per)[ -]plug",
    "distributor": r"distributor",
}
_KINDS = {
    kind: re.compile(rf"(?<![\w-])(?:{words})(?![\w-])", re.IGNORECASE) for kind, words in _SAID.items()
}
_DENIED = re.compile(r"\b(?:no|not|non|without)\b", re.IGNORECASE)


def kinds_of(case: Case) -> tuple[frozenset[str], frozenset[str]]:
    """Return the kinds that a vehicle is, and those that it is not; of the others nothing is known.

    What is stated goes before what its engine and fuel are called. A hybrid runs on petrol unless it says
    otherwise, but that is not concluded. What is stated both ways counts as unknown.
    """
    texts = [str(case.facts.get(name, "")) for name in ("vehicle.engine", "vehicle.fuel")]
    said = {kind for kind, words in _KINDS.items() for text in texts if words.search(text)}
    said = set() if any(map(_DENIED.search, texts)) else said
    said -= {kind for group in EXCLUSIVE if len(group & said) > 1 for kind in group}
    has = {*case.has, *(said - {*case.lacks, *excluded_by(case.has)})}
    lacks = {*case.lacks, *excluded_by(has)}
    return frozenset(has - lacks), frozenset(lacks - has)
