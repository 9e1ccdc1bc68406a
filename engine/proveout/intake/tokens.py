"""Text cut into tokens: stems with one word for what means the same, denial marked, hedges taken out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache

import snowballstemmer
from msgspec import Struct
from msgspec.structs import replace

from proveout.intake import english

_WORDS = re.compile(r"a/c|\w+(?:['’]\w+)*", re.IGNORECASE)
#: Most texts of which it is remembered what they are; the phrases of a book are some thousands.
MOST = 20_000
#: Stands for a time that was said, such as "for two weeks"; a phrase with one is not the phrase without.
TIME = "qtime"
_TIME = re.compile(r"\b(?:days?|weeks?|months?|years?|winter|summer)\b")
_HEDGES = re.compile(r"\b(?:" + "|".join(english.HEDGES) + r")\b")
_MARKS = re.compile(r"[,.;:!?\n()/–—]|\s-\s")
#: Marks that end a sentence.
_STOPS = re.compile(r"[.;!?\n](?!\d)")
#: Pairs and repeats that a boundary word must not cut; all are joined by "and" or "&".
_FIXED = (
    (re.compile(r"\bup and down\b|\bup & down\b"), "updown"),
    (re.compile(r"\bon and off\b|\boff and on\b"), "onoff"),
    (re.compile(r"\b(\w+) and \1\b"), r"\1"),
)
_STEMMER = snowballstemmer.stemmer("english")
#: A bare number of this size said of an engine is its speed.
_REVS = range(600, 9001)


class Token(Struct, frozen=True):
    """A word that counts.

    Attributes:
        word: its stem, or the one word that stands for it and its like.
        denied: whether it stands within a denial.
        start, end: where it stands in the text.
        cut: whether the text may be cut before it.
        mended: whether its spelling was mended.
    """

    word: str
    denied: bool
    start: int
    end: int
    cut: bool = False
    mended: bool = False


class Sentence(Struct, frozen=True):
    """A sentence with the words in it that count, and how often, since when and how surely it was said.

    Each hedge comes with the place where it begins.
    """

    text: str
    tokens: tuple[Token, ...]
    hedges: tuple[tuple[int, str], ...]


@cache
def stem(word: str) -> str:
    """Return the word that stands for a word and its like."""
    return _same().get(_bare_stem(word), _bare_stem(word))


@cache
def _bare_stem(word: str) -> str:
    plain = english.IRREGULAR.get(word, word)
    return str(_STEMMER.stemWord(english.IRREGULAR.get(plain, plain)))


@cache
def _same() -> Mapping[str, str]:
    table: dict[str, str] = {}
    for line in english.SAME:
        first, *rest = (_bare_stem(word) for word in line.split())
        table.update(dict.fromkeys(rest, first))
    return table


@cache
def _merges() -> Mapping[str, tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]]:
    """Return the merges by their first word, the longest first."""
    table: dict[str, list[tuple[tuple[str, ...], tuple[str, ...]]]] = {}
    for said, meant in english.MERGES.items():
        words = tuple(stem(word) for word in said.split() if word not in english.IDLE)
        table.setdefault(words[0], []).append((words, tuple(stem(word) for word in meant.split())))
    return {first: tuple(sorted(found, key=lambda pair: -len(pair[0]))) for first, found in table.items()}


@cache
def light_words() -> frozenset[str]:
    """Return the stems that weigh little."""
    return frozenset(stem(word) for word in english.LIGHT) | {"#"}


def _lowered(text: str) -> str:
    """Return the text in lower case with every character in its place."""
    if text.isascii():
        return text.lower()
    return "".join(low if len(low := char.lower()) == 1 else char for char in text)


def sentences(text: str) -> Iterator[Sentence]:
    """Return the sentences of a text; one without a word that counts has no tokens."""
    start = 0
    for stop in [*(found.end() for found in _STOPS.finditer(text)), len(text)]:
        part = text[start:stop].strip(" \t\r\n.;!?,")
        start = stop
        if part:
            yield sentence(part)


@lru_cache(maxsize=MOST)
def sentence(text: str) -> Sentence:
    """Cut one sentence into tokens; the phrases of a book are met again and again."""
    lowered = _lowered(text)
    if " and " in lowered or " & " in lowered:
        for pattern, put in _FIXED:
            lowered = _replaced(pattern, put, lowered)
    taken = [
        (found.start(), found.end(), text[found.start() : found.end()]) for found in _HEDGES.finditer(lowered)
    ]
    rest = lowered
    for start, end, _ in taken:
        rest = rest[:start] + _mark(lowered[start:end]).ljust(end - start) + rest[end:]
    return Sentence(
        text,
        tuple(_counting(_merged(_plain(rest)))),
        tuple((start, said.strip()) for start, _, said in taken),
    )


def _replaced(pattern: re.Pattern[str], put: str, text: str) -> str:
    """Put something shorter in the place of what a pattern finds, so that all else keeps its place."""
    return pattern.sub(lambda found: found.expand(put).ljust(len(found[0])), text)


def _mark(hedge: str) -> str:
    """Return what stands for a hedge while the text is cut: a time leaves a word of its own behind."""
    return TIME if _TIME.search(hedge) else ""


def _plain(text: str) -> list[Token]:
    """Return every word but those without meaning, with denial and cuts marked."""
    found: list[Token] = []
    denying, cut, said, end, skip = False, False, True, 0, 0
    words = [(match[0].replace("'", "").replace("’", ""), match) for match in _WORDS.finditer(text)]
    for place, (word, match) in enumerate(words):
        if _MARKS.search(text, end, match.start()):
            denying, cut = False, True
        end = match.end()
        if skip:
            skip -= 1
            continue
        following = words[place + 1][0] if place + 1 < len(words) else ""
        if word in english.BOUNDARIES:
            cut = True
            denying = denying and (word in english.CARRIES_ON or not said)
        if f"{word} {following}" in english.DENIALS:
            denying, said, skip = True, False, 1
            continue
        if word in english.NEGATIONS:
            denying, said = bool(following), False
            continue
        if word in english.IDLE:
            continue
        found.append(_token(word, denying, match, cut))
        cut, said = False, True
    return found


def _token(word: str, denied: bool, match: re.Match[str], cut: bool) -> Token:
    if word in english.OPPOSITES:
        word, denied = english.OPPOSITES[word], not denied
    if word.isdigit():
        word = "#rpm" if int(word[:9]) in _REVS else "#"
        return Token(word, denied, match.start(), match.end(), cut)
    return Token(stem("ac" if word == "a/c" else word), denied, match.start(), match.end(), cut)


def _merged(tokens: list[Token]) -> Iterator[Token]:
    """Put one word in the place of several that stand for it."""
    place, merges = 0, _merges()
    while place < len(tokens):
        first = tokens[place]
        for words, meant in merges.get(first.word, ()):
            seen = tokens[place : place + len(words)]
            if tuple(token.word for token in seen) == words:
                end = seen[-1].end
                yield from (
                    replace(first, word=word, end=end, cut=first.cut and not n)
                    for n, word in enumerate(meant)
                )
                place += len(words)
                break
        else:
            yield first
            place += 1


def _counting(tokens: Iterator[Token]) -> list[Token]:
    """Leave out the particles that nothing took up; what does not work is dead."""
    found: list[Token] = []
    cut, since = False, 0
    for token in tokens:
        cut = cut or token.cut
        if token.word in english.PARTICLES - english.TELLING:
            if token.denied:  # as in "the lamp is not on": what went before is denied
                found[since:] = [replace(item, denied=True) for item in found[since:]]
            continue
        since = len(found) if cut else since
        if token.word in ("work", "function", "oper") and token.denied:
            token = replace(token, word="dead", denied=False)
        found.append(token if token.cut == cut else replace(token, cut=cut))
        cut = False
    return found
