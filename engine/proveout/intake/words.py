"""Free text matched to the fixed vocabularies, cautiously: what is unclear is asked about, never assumed.

A sentence is cut, where it may be cut, into the parts that the book's phrases explain best; a whole phrase
goes before its parts. A phrase explains a part as far as each holds the other's words, in the same order and
with the same denials. A part is taken only where one entry explains it nearly fully and no other does.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator

from msgspec import Struct, field

from proveout.intake.fit import AHEAD, ASKED_FROM, DENIAL_ASKED_FROM, TAKEN_FROM, Fit, fit, most
from proveout.intake.index import LIGHT, NOTHING, Index, plain_text, weight
from proveout.intake.spelling import mended
from proveout.intake.tokens import TIME, Sentence, Token, sentences
from proveout.model.atom import HAPPENS, SYMPTOM

#: Entries asked about at most.
ASKED = 4
#: What each part costs, so that a whole phrase goes before its parts.
_PART = 0.2
#: Cuts looked at in one sentence; what follows them is one part.
_CUTS = 12
#: What follows a part up to the mark that ends it, if that comes before any word that could begin the next.
_MARK = re.compile(r"(?:(?!\b(?:and|but|then|also|plus|when|if|with)\b)[^,;:–—])*(?=[,;:–—])")
_EDGES = " ,;:-–—\t"
_JOINS = re.compile(r"^(?:[\s,;:–—-]|\b(?:and|but|then|also|plus|or)\b)+", re.IGNORECASE)


class Candidate(Struct, frozen=True):
    """An entry that a part of a text may stand for; ``kind`` is symptom, happens or work."""

    kind: str
    id: str
    title: str
    score: float
    negated: bool


class Match(Struct, frozen=True):
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


class _Part(Struct):
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
    """Match one sentence; neighbouring parts that match nothing are kept as one."""
    parts = _best_parts(sentence.text, mended(sentence.tokens, index), index)
    found: list[Match] = []
    lost: list[tuple[int, int]] = []
    for begin, end, part in _placed(parts, sentence.text):
        if part.found and part.found[0].kind != NOTHING:
            hedges = tuple(said for place, said in sentence.hedges if begin <= place < end)
            found.append(_decided(clause_of(sentence.text[begin:end]), part, hedges))
        elif lost and lost[-1][1] == begin:
            lost[-1] = (lost[-1][0], end)
        else:
            lost.append((begin, end))
    if not parts:
        return [], [sentence.text]
    return found, [clause_of(sentence.text[begin:end]) for begin, end in lost]


def _placed(parts: list[_Part], text: str) -> Iterator[tuple[int, int, _Part]]:
    """Return each part with where it begins and ends in the text; together they are the whole of it."""
    begin = 0
    for place, part in enumerate(parts):
        last = place + 1 == len(parts)
        end = len(text) if last else min(_end(part, text), parts[place + 1].tokens[0].start)
        yield begin, end, part
        begin = end


def _end(part: _Part, text: str) -> int:
    """Return where a part ends that is not the last: at the mark after it, else after its last word."""
    last = part.tokens[-1].end
    mark = _MARK.match(text, last)
    return mark.end() if mark else last


def clause_of(part: str) -> str:
    """Return a part as it was said, without the word or mark that joins it to the one before."""
    return _JOINS.sub("", part).rstrip(_EDGES)


def _decided(clause: str, part: _Part, hedges: tuple[str, ...]) -> Match:
    best, *others = part.found
    near = [other for other in others if best.score - other.score < AHEAD]
    clear = best.score >= TAKEN_FROM and not near
    rest = () if clear else tuple(others[: ASKED - 1])
    return Match(clause, best.kind, best.id, best.title, best.score, clear, best.negated, rest, hedges)


def _best_parts(text: str, tokens: tuple[Token, ...], index: Index) -> list[_Part]:
    """Cut the tokens so that the parts are explained best in all."""
    cuts = [*[place for place, token in enumerate(tokens) if place == 0 or token.cut][:_CUTS], len(tokens)]
    best: dict[int, tuple[float, list[_Part]]] = {0: (0.0, [])}
    for stop in range(1, len(cuts)):
        ways = []
        for start in range(stop):
            begin = 0 if start == 0 else tokens[cuts[start] - 1].end
            end = len(text) if stop == len(cuts) - 1 else tokens[cuts[stop] - 1].end
            part = _explained(clause_of(text[begin:end]), tokens[cuts[start] : cuts[stop]], index)
            worth, before = best[start]
            ways.append((worth + part.worth - _PART, -start, [*before, part]))
        worth, _, way = max(ways, key=lambda item: item[:2])
        best[stop] = (worth, way)
    return best[len(cuts) - 1][1] if tokens else []


def _explained(text: str, tokens: tuple[Token, ...], index: Index) -> _Part:
    """Find the entries whose phrases explain the tokens that stand in a text."""
    whole = sum(weight(token.word, index) for token in tokens if token.word != TIME)
    shared: dict[int, float] = {}
    repeated: dict[int, float] = {}
    for word, times in Counter(token.word for token in tokens).items():
        heavy = weight(word, index)
        for phrase in index["where"].get(word, ()):
            shared[phrase] = shared.get(phrase, 0.0) + heavy
            if times > 1:
                repeated[phrase] = repeated.get(phrase, 0.0) + (times - 1) * heavy
    least = max(2 * LIGHT, 0.3 * whole)
    asked = min(ASKED_FROM, DENIAL_ASKED_FROM)
    said = plain_text(text)
    best: dict[int, Candidate] = {}
    for phrase, common in shared.items():
        number, words, says, opens, heavy = index["phrases"][phrase]
        if says != said and (
            common < least or most(common + repeated.get(phrase, 0.0), heavy, whole) < asked
        ):
            continue
        kind, key, title, spoken = index["entries"][number]
        found = fit(tokens, words, spoken, index)
        score = found.score * (0.7 if opens and kind == HAPPENS and not tokens[0].cut else 1.0)
        if says == said:
            found, score = Fit(1.0, False), 1.0 + 2 * AHEAD
        if found.negated and kind != SYMPTOM:
            continue  # that something was not done or does not matter is nothing to record
        enough = DENIAL_ASKED_FROM if found.negated else ASKED_FROM
        if score >= enough and (number not in best or score > best[number].score):
            best[number] = Candidate(kind, key, title, score, found.negated)
    ranked = sorted(best.values(), key=lambda item: (-item.score, item.kind, item.id))
    return _Part(tokens, ranked, min(ranked[0].score, 1.0) ** 2 * whole if ranked else 0.0)
