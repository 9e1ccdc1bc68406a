"""Words of the trade that stand on a page, explained to whoever reads it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from html import escape
from typing import Any

from proveout.model.book import Book
from proveout.model.entries import GlossaryTerm
from proveout.show.figures import wrapped


def terms_on(book: Book, texts: Iterable[str]) -> list[GlossaryTerm]:
    """Return the words of the glossary that stand in some texts, by title."""
    glossary = book.words.glossary
    spelt = tuple((name, glossary[name].title, glossary[name].words) for name in glossary)
    found = {names[match.lower()] for names, match in _matches(spelt, "\n".join(texts))}
    return sorted((glossary[name] for name in found), key=lambda term: term.title.casefold())


def _matches(
    spelt: tuple[tuple[str, str, tuple[str, ...]], ...], text: str
) -> Iterable[tuple[dict[str, str], str]]:
    """Return each spelling that stands in a text, with what the spellings mean."""
    names, pattern = _spellings(spelt)
    return ((names, match) for match in pattern.findall(text)) if names else ()


@lru_cache(maxsize=4)
def _spellings(
    spelt: tuple[tuple[str, str, tuple[str, ...]], ...],
) -> tuple[dict[str, str], re.Pattern[str]]:
    """Return spelling to id, and what finds any spelling, the longest first."""
    names = {word.lower(): name for name, title, words in spelt for word in (title, *words)}
    longest = "|".join(map(re.escape, sorted(names, key=len, reverse=True)))
    return names, re.compile(rf"(?<![\w-])(?:{longest})(?![\w-])", re.IGNORECASE)


def term_lines(term: GlossaryTerm, width: int) -> list[str]:
    """Return a word with what it means."""
    also = f" (also {', '.join(term.words)})" if term.words else ""
    return [*wrapped(f"{term.title}{also}", width), *wrapped(term.text, width, "  ", "  ")]


def words_line(book: Book, texts: Iterable[str]) -> str:
    """Say in a line which words of a page the glossary explains; "" where it holds none."""
    found = terms_on(book, texts)
    if not found:
        return ""
    return f"Words explained by 'proveout terms': {', '.join(term.title for term in found)}."


def words_html(book: Book, texts: Iterable[str]) -> str:
    """Return the words of a page with what they mean, folded away; "" where there are none."""
    rows = "".join(
        f"<dt>{escape(term.title)}</dt><dd>{escape(term.text)}</dd>" for term in terms_on(book, texts)
    )
    if not rows:
        return ""
    return f'<details class="small words"><summary>Words on this page</summary><dl>{rows}</dl></details>'


def terms_document(terms: Iterable[GlossaryTerm]) -> dict[str, Any]:
    """Return words as a document of schema ``proveout/terms/1``."""
    return {
        "schema": "proveout/terms/1",
        "terms": [
            {"id": term.id, "title": term.title, "words": list(term.words), "text": term.text}
            for term in terms
        ],
    }
