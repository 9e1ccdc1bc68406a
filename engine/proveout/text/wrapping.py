"""Breaks lines that are too long: behind a comma, or at a blank within a text that is folded anyway."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

import yaml
from msgspec import Struct

from proveout.text.indents import Kind, Line, tokens

#: Longest line of a rule file, in characters; a comment, a word or a text whose blanks count may go beyond.
WIDTH = 132
#: A line that begins with one of these could be taken for something else than a text that goes on.
_NEVER_FIRST = "-?:#"


class _Row(Struct):
    """What is known of a line.

    Attributes:
        cuts: columns where it may be broken, each with whether it is behind a comma.
        end: where its last value ends, before a comment.
        goes_on: whether the next line belongs to the same value.
    """

    cuts: list[tuple[int, bool]]
    end: int = 0
    goes_on: bool = False


def wrapped(lines: Sequence[Line]) -> list[str]:
    """Return the rows of indented lines, broken where they are too long.

    What is broken off goes before the next row of the same value, as far as that becomes too long by it.
    """
    rows = [str(line) for line in lines]
    if all(len(row) <= WIDTH for row in rows):
        return rows
    known = _known(rows)
    found: list[str] = []
    rest: tuple[str, list[tuple[int, bool]]] | None = None
    for at, row in enumerate(rows):
        cuts, end = known[at].cuts, known[at].end
        if rest is not None:
            row, cuts, end = _joined(rest, row, known[at])
        below = lines[at + 1] if known[at].goes_on else None
        goes_on = below is not None and below.text[0] not in "]}#" and end == len(row)
        indent = below.indent if below is not None and goes_on else _indent(lines[at])
        pieces = list(_pieces(row, cuts, end, indent))
        rest = pieces.pop() if goes_on and len(pieces) > 1 else None
        found += [piece for piece, _ in pieces]
    return found


def _indent(line: Line) -> int:
    """Return how deep what is broken off a line stands."""
    return line.indent if line.kind is Kind.WITHIN else line.hold


def _joined(
    rest: tuple[str, list[tuple[int, bool]]], row: str, known: _Row
) -> tuple[str, list[tuple[int, bool]], int]:
    """Put what was broken off before the next row; give the row, where it may be broken, and its end."""
    text, cuts = rest
    bare = row.lstrip()
    gap = "" if text[-1] in "[{" else " "
    moved = len(text) + len(gap) - (len(row) - len(bare))
    there = [(len(text), text[-1] == ",")] if gap and bare[0] not in _NEVER_FIRST else []
    cuts = [*cuts, *there, *((column + moved, comma) for column, comma in known.cuts)]
    return f"{text}{gap}{bare}", cuts, known.end + moved


def _pieces(
    row: str, cuts: Sequence[tuple[int, bool]], end: int, indent: int
) -> Iterator[tuple[str, list[tuple[int, bool]]]]:
    """Break a row, each piece with where it may be broken."""
    begin, lead, n = 0, "", 0
    while end - begin + len(lead) > WIDTH and n < len(cuts):
        chosen = _best(cuts, n, WIDTH + begin - len(lead))
        at = cuts[chosen][0]
        yield lead + row[begin:at].rstrip(), []
        begin, lead, n = _behind(row, at), " " * indent, chosen + 1
    moved = len(lead) - begin
    yield lead + row[begin:], [(column + moved, comma) for column, comma in cuts[n:]]


def _behind(row: str, at: int) -> int:
    """Return the column of the first character from a column on that is no blank."""
    while row[at].isspace():
        at += 1
    return at


def _best(cuts: Sequence[tuple[int, bool]], first: int, last: int) -> int:
    """Return by which cut to break: the last comma that fits, else the last blank, else the first cut."""
    best = first
    for n in range(first, len(cuts)):
        column, comma = cuts[n]
        if column > last:
            break
        best = n if comma or not cuts[best][1] else best
    return best


def _known(rows: Sequence[str]) -> list[_Row]:
    """Return what is known of each row by the tokens of the text."""
    known = [_Row([]) for _ in rows]
    depth, opened = 0, 0
    for before, token in pairwise(tokens("\n".join(rows))):
        start, end = token.start_mark, token.end_mark
        folds = isinstance(token, yaml.ScalarToken) and token.style in (None, "", "'", '"')
        if end.index > start.index:
            known[end.line].end = max(known[end.line].end, end.column)
        if isinstance(token, yaml.FlowEntryToken):
            _add(known[end.line], rows[end.line], end.column)
        elif folds and not isinstance(before, yaml.KeyToken):
            _folded(token, rows, known)
        elif isinstance(token, yaml.FlowSequenceStartToken | yaml.FlowMappingStartToken):
            opened, depth = (start.line if depth == 0 else opened), depth + 1
        elif isinstance(token, yaml.FlowSequenceEndToken | yaml.FlowMappingEndToken):
            depth -= 1
            if depth == 0:
                _goes_on(known, rows, opened, end.line)
    return known


def _add(row: _Row, text: str, column: int) -> None:
    """Let a row be broken behind a comma, unless that ends it."""
    behind = text[column:].strip()
    if behind and behind[0] not in "#,]}":
        row.cuts.append((column, True))


def _folded(token: Any, rows: Sequence[str], known: list[_Row]) -> None:
    """Let a text be broken at each single blank between words."""
    start, end = token.start_mark, token.end_mark
    _goes_on(known, rows, start.line, end.line)
    for n in range(start.line, end.line + 1):
        row = rows[n]
        first = start.column + 1 if n == start.line else len(row) - len(row.lstrip()) + 1
        last = end.column - 1 if n == end.line else len(row) - 1
        known[n].end = max(known[n].end, last + 1)
        known[n].cuts += [(at, False) for at in range(first, last) if _parts_words(row, at)]


def _parts_words(row: str, at: int) -> bool:
    """Say whether there is a single blank at a column, in the place of which a line break means the same."""
    before, behind = row[at - 1], row[at + 1]
    return (
        row[at] == " "
        and not (before.isspace() or behind.isspace())
        and before != "\\"
        and behind not in _NEVER_FIRST
    )


def _goes_on(known: list[_Row], rows: Sequence[str], first: int, last: int) -> None:
    """Note that a value goes over several rows, where neither an empty one nor a comment is between them."""
    for n in range(first, last):
        if rows[n] and rows[n + 1] and not rows[n].endswith("\\"):
            known[n].goes_on = True
