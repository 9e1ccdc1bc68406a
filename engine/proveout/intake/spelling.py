"""Misspelt words mended against the words that an index knows."""

from __future__ import annotations

from msgspec.structs import replace
from rapidfuzz.distance import OSA

from proveout.intake.index import Index
from proveout.intake.tokens import Token, light_words


def mended(tokens: tuple[Token, ...], index: Index) -> tuple[Token, ...]:
    """Return the tokens with unknown words replaced by the one known word that they are a slip away from."""
    return tuple(token if _known(token.word, index) else _mended(token, index) for token in tokens)


def _known(word: str, index: Index) -> bool:
    return word in index["where"] or word in light_words() or word.startswith("#")


def _mended(token: Token, index: Index) -> Token:
    """Mend one slip in a word of five letters, two from eight on; in shorter ones only letters swapped."""
    word = token.word
    if len(word) < 4 or not word.isalpha():
        return token
    slips = 2 if len(word) >= 8 else 1
    near: dict[int, list[str]] = {}
    for known in index["where"]:
        if known[0] == word[0] and abs(len(known) - len(word)) <= slips:
            distance = OSA.distance(word, known, score_cutoff=slips)
            swapped = sorted(known) == sorted(word)
            if distance <= slips and (len(word) > 4 or swapped):
                near.setdefault(distance, []).append(known)
    for distance in sorted(near):
        return replace(token, word=near[distance][0], mended=True) if len(near[distance]) == 1 else token
    return token
