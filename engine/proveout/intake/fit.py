"""How well a phrase fits a run of words: each holds the other's words, in order, with the same denials."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

from msgspec import Struct

from proveout.intake.index import LIGHT, Index, weight
from proveout.intake.tokens import TIME, Token

#: Score from which a run of words is taken, and how far ahead of the next entry it must then be.
TAKEN_FROM, AHEAD = 0.86, 0.12
#: Score from which an entry is asked about; a denial must fit better to be worth a question.
ASKED_FROM, DENIAL_ASKED_FROM = 0.5, 0.5
#: A phrase of one word must weigh this much to be taken for it: "oil" alone says nothing.
TELLING = 0.8
#: Share of a word's weight that counts as unexplained where another phrase of the entry uses the word.
_SPOKEN = 0.3


class Fit(Struct, frozen=True):
    """How well a phrase fits, 0 to 1, and whether the words deny it."""

    score: float
    negated: bool


class _Pair(Struct):
    """A word of the phrase met in the text: its place there, whether the two differ in denial."""

    place: int
    turned: bool
    cut: bool


def fit(tokens: Sequence[Token], words: Sequence[Sequence[Any]], spoken: Sequence[str], index: Index) -> Fit:
    """Score a phrase.

    Args:
        tokens: the words said.
        words: the phrase's, each with 1 where it is denied and 1 where the phrase may be cut before it.
        spoken: all words that phrases of the entry use.
        index: gives the weights.
    """
    pairs, left = _paired(tokens, words)
    common = sum(weight(tokens[pair.place].word, index) for pair in pairs)
    if not common:
        return Fit(0.0, False)
    phrase = sum(weight(str(word[0]), index) for word in words)
    left = [place for place in left if tokens[place].word != TIME]
    rest = sum(
        weight(tokens[place].word, index) * (_SPOKEN if tokens[place].word in spoken else 1.0)
        for place in left
    )
    turned = any(pair.turned for pair in pairs)
    negated = turned and not any(word[1] for word in words)
    score = float((common / phrase) ** 0.8 * (common / (common + rest)) ** 0.9)
    score *= (1.0 - _disorder(pairs)) * 0.94 ** sum(tokens[pair.place].mended for pair in pairs)
    if negated:
        score *= 0.94 if common > 0.9 * phrase else 0.75  # only the whole of a phrase is taken as denied
    if turned and not (negated and _denies(tokens, pairs)):
        score *= 0.6  # the denial is of something else, or the phrase itself is one
    telling = [pair for pair in pairs if weight(tokens[pair.place].word, index) > LIGHT]
    if all(tokens[pair.place].mended for pair in telling) and telling:
        return Fit(0.0, False)
    common_word = len(words) == 1 and weight(tokens[pairs[0].place].word, index) < TELLING
    beside = any(weight(tokens[place].word, index) > LIGHT for place in left)
    if len(telling) <= 1 and (common < 0.97 * phrase or beside or common_word):
        score = min(score, TAKEN_FROM - 0.01)  # one word alone may be there by chance
    return Fit(score, negated)


def most(common: float, phrase: float, said: float) -> float:
    """Return the score that no phrase can pass which shares that much weight with what was said.

    Args:
        common: weight of the words said that the phrase has, at most.
        phrase: whole weight of the phrase.
        said: whole weight of what was said.
    """
    common = min(common, phrase)
    rest = _SPOKEN * max(said - common, 0.0)
    return float((common / phrase) ** 0.8 * (common / (common + rest)) ** 0.9)


def _paired(tokens: Sequence[Token], words: Sequence[Sequence[Any]]) -> tuple[list[_Pair], list[int]]:
    """Find each word of the phrase in the text; give the pairs and the places left over."""
    left = list(range(len(tokens)))
    pairs: list[_Pair] = []
    for word, denied, cut in words:
        place = next((place for place in left if tokens[place].word == word), None)
        if place is not None:
            left.remove(place)
            pairs.append(_Pair(place, tokens[place].denied != bool(denied), bool(cut)))
    return pairs, left


def _disorder(pairs: Sequence[_Pair]) -> float:
    """Return what is lost by words in another order: more where the phrase changes its subject."""
    steps = list(itertools.pairwise(pairs))
    lost = sum((0.25 if later.cut else 0.08) for earlier, later in steps if later.place < earlier.place)
    return lost / len(steps) if steps else 0.0


def _denies(tokens: Sequence[Token], pairs: Sequence[_Pair]) -> bool:
    """Say whether one denial runs from somewhere in the phrase to its end, as in "the lamp is not on"."""
    found = sorted(pairs, key=lambda pair: pair.place)
    first = next(number for number, pair in enumerate(found) if pair.turned)
    return all(pair.turned or tokens[pair.place].cut for pair in found[first:])
