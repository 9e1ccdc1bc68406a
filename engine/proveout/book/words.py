"""The plain vocabularies out of nodes."""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Mapping as MappingOf
from math import inf
from typing import TypeVar

from proveout.book.conditions import items, word
from proveout.book.entry import RawEntry
from proveout.book.fields import money, number, texts
from proveout.book.raw import RawBook
from proveout.book.remembered import remembered, remembered_with_problems
from proveout.model.entries import (
    Access,
    Caution,
    CodeEntry,
    Component,
    GlossaryTerm,
    Term,
    Tool,
    Vocabulary,
)
from proveout.model.problem import Problem
from proveout.model.terms import Programme, Warranty
from proveout.model.whereabouts import Whereabouts
from proveout.readiness.regulation import KM_PER_MILE
from proveout.text.node import Scalar

_Built = TypeVar("_Built")

#: Share of new parts taken to be bad where a component does not say.
NEW_PART_BAD = 0.03


def build_words(raw: RawBook, problems: list[Problem]) -> Vocabulary:
    """Build all vocabularies."""

    def each(kind: str, build: Callable[[RawEntry], _Built]) -> MappingOf[str, _Built]:
        return {name: build(entry) for name, entry in raw.of(kind).items()}

    return Vocabulary(
        symptoms=each("symptoms", _term),
        circumstances=each("circumstances", _term),
        recent_work=each("recent-work", _term),
        findings=each("findings", _term),
        components=each("components", _component),
        tools=each("tools", lambda entry: _tool(entry, problems)),
        access=each("access", _access),
        cautions=each("cautions", _caution),
        codes=each("codes", _code),
        warranties=each("warranties", _warranty),
        programmes=each("programmes", _programme),
        places=each("places", _whereabouts),
        glossary=each("glossary", _glossary_term),
    )


@remembered
def _term(entry: RawEntry) -> Term:
    node = entry.node
    words, ways = texts(node, "words"), texts(node, "brings_on")
    return Term(entry.id, word(node, "title"), words, word(node, "note"), entry.place, entry.layer, ways)


@remembered
def _glossary_term(entry: RawEntry) -> GlossaryTerm:
    node = entry.node
    words = texts(node, "words")
    return GlossaryTerm(entry.id, word(node, "title"), word(node, "text"), words, entry.place, entry.layer)


@remembered
def _component(entry: RawEntry) -> Component:
    node = entry.node
    bad = number(node, "new_part_bad", NEW_PART_BAD)
    return Component(entry.id, word(node, "title"), texts(node, "words"), bad, entry.place, entry.layer)


@remembered_with_problems
def _tool(entry: RawEntry, problems: list[Problem]) -> Tool:
    node = entry.node
    basic = node.get("basic")
    is_basic = isinstance(basic, Scalar) and basic.value is True
    price = money(node, "price", problems)
    return Tool(
        entry.id, word(node, "title"), is_basic, price, texts(node, "words"), entry.place, entry.layer
    )


@remembered
def _access(entry: RawEntry) -> Access:
    node = entry.node
    minutes = number(node, "minutes")
    return Access(entry.id, word(node, "title"), minutes, texts(node, "cautions"), entry.place, entry.layer)


@remembered
def _caution(entry: RawEntry) -> Caution:
    node = entry.node
    marked = node.get("grave")
    source = word(node, "source") or "common practice, no source"
    grave = isinstance(marked, Scalar) and marked.value is True
    return Caution(entry.id, word(node, "title"), word(node, "text"), entry.place, entry.layer, grave, source)


@remembered
def _code(entry: RawEntry) -> CodeEntry:
    node = entry.node
    return CodeEntry(
        id=entry.id,
        meaning=word(node, "meaning"),
        family=word(node, "family"),
        monitor=word(node, "monitor"),
        usually_with=texts(node, "usually_with"),
        does_not_mean=word(node, "does_not_mean"),
        unweighed=word(node, "unweighed"),
        source=word(node, "source"),
        place=entry.place,
        layer=entry.layer,
    )


@remembered
def _warranty(entry: RawEntry) -> Warranty:
    node = entry.node
    distance, _, unit = word(node, "distance").partition(" ")
    return Warranty(
        id=entry.id,
        title=word(node, "title"),
        years=number(node, "years", inf),
        km=float(distance) * (KM_PER_MILE if unit == "mi" else 1.0) if distance else inf,
        components=texts(node, "components"),
        first_model_year=int(number(node, "first_model_year")),
        source=word(node, "source"),
        place=entry.place,
        layer=entry.layer,
    )


@remembered
def _programme(entry: RawEntry) -> Programme:
    node = entry.node
    fails = node.get("permanent_fails")
    steps = ((int(number(step, "from")), int(number(step, "at_most"))) for step in items(node.get("unready")))
    return Programme(
        id=entry.id,
        title=word(node, "title"),
        first_year=int(number(node, "first_year")),
        unready=tuple(sorted(steps)),
        only=texts(node, "only"),
        permanent_fails=isinstance(fails, Scalar) and fails.value is True,
        source=word(node, "source"),
        place=entry.place,
        layer=entry.layer,
    )


@remembered
def _whereabouts(entry: RawEntry) -> Whereabouts:
    node = entry.node
    return Whereabouts(
        id=entry.id,
        zone=word(node, "zone"),
        components=texts(node, "components"),
        access=texts(node, "access"),
        source=word(node, "source"),
        place=entry.place,
        layer=entry.layer,
    )
