"""A page of the book before it is HTML: plain texts and links, which one template lays out."""

from __future__ import annotations

import re

from msgspec import Struct

#: What an id may hold that names a file as it stands.
_UNSAFE = re.compile(r"[^A-Za-z0-9.-]")


class Line(Struct, frozen=True):
    """A text, or a link where ``to`` says where it leads, from the top of the pages; ``after`` follows it."""

    text: str
    to: str = ""
    after: str = ""


class Block(Struct, frozen=True):
    """A part of a page.

    Attributes:
        title: its heading, or "".
        lines: its paragraphs or items.
        how: ``list``, ``steps`` (numbered), ``warn`` or ``said`` (paragraphs).
        head, rows: of a table below the lines; each cell is a line.
        name: by which links lead to it.
        drawing: a picture of our own as SVG, or "".
    """

    title: str = ""
    lines: tuple[Line, ...] = ()
    how: str = "said"
    head: tuple[str, ...] = ()
    rows: tuple[tuple[Line, ...], ...] = ()
    name: str = ""
    drawing: str = ""

    @property
    def empty(self) -> bool:
        """Whether there is nothing to show."""
        return not (self.lines or self.rows or self.drawing)


class Leaf(Struct, frozen=True):
    """The page of one entry.

    Attributes:
        kind: of the entry, as the catalogue names it.
        id, title: of the entry.
        words: what else it may be searched by.
        blocks: its parts; empty ones are left out.
    """

    kind: str
    id: str
    title: str
    words: tuple[str, ...] = ()
    blocks: tuple[Block, ...] = ()


def page_of(kind: str, entry: str) -> str:
    """Return where the page of an entry lies."""
    return f"{kind}/{named(entry)}.html"


def named(text: str) -> str:
    """Return a text as a name of a file or part of a page."""
    return _UNSAFE.sub("_", text)


def said(title: str, *texts: str, how: str = "said") -> Block:
    """Return a block of texts; those that are empty are left out."""
    return Block(title, tuple(Line(text) for text in texts if text), how)
