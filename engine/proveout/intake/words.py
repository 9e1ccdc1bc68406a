"""Free text matched to the fixed vocabularies, cautiously: what is unclear is asked about, never assumed.

A sentence is cut, at the words where it may be cut, into the parts that the book's phrases explain best; a whole
phrase goes before its parts. A phrase explains a part as far as each holds the other's words, in the same order
and with the same denials. A part is taken only where one entry explains it nearly fully and no other comes near.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from proveout.intake.index import LIGHT, MOST, NOTHING, Index, plain_text
from proveout.intake.spelling import mended
from proveout.intake.tokens import Sentence, Token, sentences
from proveout.model.atom import HAPPENS, SYMPTOM

#: Score from which a part is taken, and by how much it must be ahead of the next entry.
TAKEN_FROM, AHEAD = 0.8, 0.05
#: Score from which an entry is asked about, and how many at most.
ASKED_FROM, ASKED = 0.42, 4
#: What each part costs, so that a whole phrase goes before its parts.
_PART = 0.2
#: Cuts looked at in one sentence; what follows them is one part.
_CUTS = 12


@dataclass(frozen=True, slots=True)
class Candidate:
    """An entry that a part of a text may stand for; ``kind`` is symptom, happens or work."""

    kind: str
    id: str
    title: str
    score: float
    negated: bool


@dataclass(frozen=True, slots=True)
class Match:
    """A part of a free text and the entry it may stand for.

    Attributes:
        clause: the part, as it was said.
        kind, id, title: the entry; kind is symptom, happens or work.
        score: how well it fits, 0 to 1.
        taken: whether it is clear enough to be used without asking.
        negated: whether the text denies it: a symptom looked for and not there.
        others: further entries that it may stand for.
        hedges: how often, since when and how surely it was said.
    """

    clause: str
    kind: str
    id: str
    title: str
    score: float
    taken: bool
    negated: bool
    others: tuple[Candidate, ...] = ()
    hedges: tuple[str, ...] = ()


@dataclass(slots=True)
class _Part:
    """A run of tokens with what explains it, best first, and the worth of taking it so."""

    tokens: tuple[Token, ...]
    found: list[Candidate] = field(default_factory=list)
    worth: float = 0.0


def match(said: Iterable[str], index: Index) -> tuple[tuple[Match, ...], tuple[str, ...]]:
    """Match free text to symptoms, circumstances and recent work.

    Returns:
        The matches, clear and unclear, in the order of the text; and, verbatim, what matches nothing.
    """
    found: list[Match] = []
    lost: list[str] = []
    for text in said:
        for sentence in sentences(text):
            matches, rest = _sentence(sentence, index)
            found += matches
            lost += rest
    return tuple(found), tuple(lost)


def _sentence(sentence: Sentence, index: Index) -> tuple[list[Match], list[str]]:
    tokens = mended(sentence.tokens, index)
    found: list[Match] = []
    lost: list[str] = []
    open_end = None
    parts = _best_parts(sentence.text, tokens, index)
    for place, part in enumerate(parts):
        begin = 0 if place == 0 else part.tokens[0].start
        end = parts[place + 1].tokens[0].start if place + 1 < len(parts) else len(sentence.text)
        clause = sentence.text[begin:end].strip(" ,;:-–—\t")
        if part.found and part.found[0].kind != NOTHING:
            found.append(_decided(clause, part, sentence.hedges))
            open_end = None
        elif open_end is not None:
            lost[-1] = sentence.text[open_end:end].strip(" ,;:-–—\t")
        else:
            lost.append(clause)
            open_end = begin
    if not parts:
        lost.append(sentence.text)
    return found, lost


def _decided(clause: str, part: _Part, hedges: tuple[str, ...]) -> Match:
    best, *others = part.found
    near = [other for other in others if best.score - other.score < AHEAD]
    clear = best.score >= TAKEN_FROM and not near and (best.kind == SYMPTOM or not best.negated)
    rest = () if clear else tuple(others[: ASKED - 1])
    return Match(clause, best.kind, best.id, best.title, best.score, clear, best.negated, rest, hedges)


def _best_parts(text: str, tokens: tuple[Token, ...], index: Index) -> list[_Part]:
    """Cut the tokens so that the parts are explained best in all."""
    cuts = [place for place, token in enumerate(tokens) if place == 0 or token.cut][:_CUTS] + [len(tokens)]
    best: dict[int, tuple[float, list[_Part]]] = {0: (0.0, [])}
    for stop in range(1, len(cuts)):
        ways = []
        for start in range(stop):
            begin = 0 if start == 0 else tokens[cuts[start]].start
            end = len(text) if stop == len(cuts) - 1 else tokens[cuts[stop]].start
            part = _explained(text[begin:end], tokens[cuts[start] : cuts[stop]], index)
            worth, before = best[start]
            ways.append((worth + part.worth - _PART, -start, [*before, part]))
        worth, _, way = max(ways, key=lambda item: item[:2])
        best[stop] = (worth, way)
    return best[len(cuts) - 1][1] if tokens else []


def _explained(text: str, tokens: tuple[Token, ...], index: Index) -> _Part:
    """Find the entries whose phrases explain the tokens that stand in a text."""
    weights = [_weight(token.word, index) for token in tokens]
    whole = sum(weights)
    shared: dict[int, float] = {}
    for word in dict.fromkeys(token.word for token in tokens):
        for phrase in index["where"].get(word, ()):
            shared[phrase] = shared.get(phrase, 0.0) + _weight(word, index)
    best: dict[int, Candidate] = {}
    said = plain_text(text)
    for phrase, common in shared.items():
        number, words, text_of, opens = index["phrases"][phrase]
        if text_of != said and (common < 2 * LIGHT or common < ASKED_FROM * whole):
            continue
        score, negated = _score(tokens, weights, whole, words, index)
        if text_of == said:
            score, negated = 1.0 + 2 * AHEAD, False
        elif opens and not tokens[0].cut and index["entries"][number][0] == HAPPENS:
            score *= 0.7
        if score >= ASKED_FROM and (number not in best or score > best[number].score):
            kind, key, title = index["entries"][number]
            best[number] = Candidate(kind, key, title, score, negated)
    found = sorted(best.values(), key=lambda item: (-item.score, item.kind, item.id))
    return _Part(tokens, found, found[0].score ** 2 * whole if found else 0.0)


def _weight(word: str, index: Index) -> float:
    """How much a word tells; what the book has never heard may change all."""
    return LIGHT if word == "#" else index["weight"].get(word, MOST)


def _score(
    tokens: tuple[Token, ...], weights: list[float], whole: float, words: list[list[Any]], index: Index
) -> tuple[float, bool]:
    """Score how fully tokens and phrase hold each other, and say whether the tokens deny the phrase."""
    free = list(range(len(tokens)))
    pairs: list[tuple[int, bool]] = []
    total = common = 0.0
    for word, denied in words:
        weight = _weight(str(word), index)
        total += weight
        place = next((place for place in free if tokens[place].word == word), None)
        if place is not None:
            free.remove(place)
            common += weights[place]
            pairs.append((place, tokens[place].denied != bool(denied)))
    if not pairs:
        return 0.0, False
    turned = [place for place, other in pairs if other]
    negated = bool(turned) and not any(denied for _, denied in words)
    score = float((common / total) ** 0.8 * (common / whole) ** 0.9)
    score *= 1.0 - 0.12 * _disorder([place for place, _ in pairs])
    score *= 0.94 ** sum(tokens[place].mended for place, _ in pairs)
    if negated:
        score *= 0.94 if common > 0.9 * total else 0.75  # a denial is taken for a whole phrase only
    if turned and not (negated and _denies(tokens, pairs)):
        score *= 0.6  # said of something else in the sentence, or the phrase itself is a denial
    return score, negated


def _disorder(places: list[int]) -> float:
    """Share of neighbours that stand in the other order, 0 to 1."""
    steps = [later < earlier for earlier, later in zip(places, places[1:], strict=False)]
    return sum(steps) / len(steps) if steps else 0.0


def _denies(tokens: tuple[Token, ...], pairs: list[tuple[int, bool]]) -> bool:
    """Say whether one denial runs from somewhere in the phrase to its end, as in "the lamp is not on"."""
    places = sorted(pairs)
    first = next(number for number, (_, turned) in enumerate(places) if turned)
    begins = places[first][0]
    return all(turned or tokens[place].cut for place, turned in places[first:] if place > begins)
