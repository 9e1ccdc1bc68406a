"""The lines of a YAML text, each with the indentation that its place in the structure gives it.

Read off the tokens of the parser, so that nothing here has to know what is quoted, a comment or a bracket.
"""

from __future__ import annotations

import re
from bisect import bisect
from enum import Enum
from typing import Any

import yaml
from msgspec import Struct

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
#: How much deeper than what holds it an entry stands; that is also the width of "- ".
STEP = 2
#: The head of a text of several lines, with the indentation that it states.
_HEAD = re.compile(r"[|>][+-]?([1-9])?[+-]?")


class Kind(Enum):
    """What a line is."""

    ENTRY = "begins a key or an item"
    WITHIN = "goes on with a value in brackets, in quotes or over several lines"
    TEXT = "of a text whose blanks count"
    KEPT = "the same, where empty lines at its end count, too"
    COMMENT = "a comment between entries"
    EMPTY = "nothing"
    OTHER = "a mark of the document"


class Line(Struct):
    """One line.

    Attributes:
        text: without indentation; for a text whose blanks count, without that of the text.
        indent: blanks before it.
        kind: what it is.
        hold: how deep what goes on below it must stand: the indentation of its entry, and one step.
        section: whether it begins a key of the outermost mapping.
    """

    text: str
    indent: int = 0
    kind: Kind = Kind.EMPTY
    hold: int = 0
    section: bool = False

    def __str__(self) -> str:
        return f"{' ' * self.indent}{self.text}" if self.text else ""


class _Block(Struct):
    """A list or mapping without brackets: its column, the new one, whether it stood as deep as its key."""

    old: int
    new: int
    is_map: bool
    flush: bool = False


def tokens(text: str) -> list[Any]:
    """Return the tokens of a YAML text that was found sound."""
    return list(yaml.scan(text, Loader=_LOADER))


def indented(text: str) -> list[Line]:
    """Return the lines of a sound YAML text, whose line ends are line feeds, indented in one way.

    An entry stands one step deeper than what holds it, also an item below its key; a comment stands like the
    entry that it stood with; what goes on over several lines moves with its entry.
    """
    walk = _Walk(text.split("\n"))
    for token in tokens(text):
        walk.take(token)
    return walk.finished()


class _Walk:
    """Goes through the tokens and says of each line what it is."""

    def __init__(self, rows: list[str]) -> None:
        self.rows = rows
        self.lines = [Line(row.strip()) for row in rows]
        self._stack: list[_Block] = []
        self._stacks: list[tuple[int, tuple[_Block, ...]]] = []  # after each entry: its line, what is open
        self._flow = 0
        self._flow_from = 0
        self._blanks: dict[int, list[tuple[int, int]]] = {}  # what an indicator is parted from its value by
        self._indicator: Any = None

    def take(self, token: Any) -> None:
        """Take the next token."""
        row, column = token.start_mark.line, token.start_mark.column
        if isinstance(token, yaml.BlockMappingStartToken | yaml.BlockSequenceStartToken):
            self._open(column, is_map=isinstance(token, yaml.BlockMappingStartToken))
        elif isinstance(token, yaml.BlockEndToken):
            self._leave_flush()
            self._stack.pop()
        elif self._flow == 0 and isinstance(token, yaml.BlockEntryToken | yaml.KeyToken | yaml.ValueToken):
            self._entry(token, row, column)
        elif isinstance(token, yaml.DocumentStartToken | yaml.DocumentEndToken | yaml.DirectiveToken):
            self.lines[row].kind = Kind.OTHER
        elif isinstance(token, yaml.ScalarToken):
            self._value(token)
        else:
            self._bracket(token, row)

    def finished(self) -> list[Line]:
        """Return the lines, once all tokens were taken."""
        for row, spans in self._blanks.items():
            text = self.rows[row]
            for start, end in reversed(spans):
                text = f"{text[:start]} {text[end:]}"
            self.lines[row].text = text.strip()
        for row, line in enumerate(self.lines):
            if line.kind is Kind.EMPTY and line.text:
                line.kind = Kind.COMMENT
                line.indent = self._beside(row, len(self.rows[row]) - len(self.rows[row].lstrip()))
        return self.lines

    def _open(self, column: int, *, is_map: bool, flush: bool = False) -> None:
        new = self._stack[-1].new + STEP if self._stack else 0
        self._stack.append(_Block(column, new, is_map, flush))

    def _leave_flush(self) -> None:
        """Leave a list that stood no deeper than its key, of which no token tells the end."""
        if self._stack[-1].flush:
            self._stack.pop()

    def _entry(self, token: Any, row: int, column: int) -> None:
        """Take what begins a key, its value or an item."""
        is_item = isinstance(token, yaml.BlockEntryToken)
        if is_item and self._stack[-1].is_map:
            self._open(column, is_map=False, flush=True)
        elif not is_item:
            self._leave_flush()
        top = self._stack[-1]
        self._parted(row, column)
        if not self.rows[row][:column].strip():
            line = self.lines[row]
            line.kind, line.indent, line.hold = Kind.ENTRY, top.new, top.new + STEP
            line.section = len(self._stack) == 1 and isinstance(token, yaml.KeyToken)
        self.lines[row].hold = top.new + STEP
        self._stacks.append((row, tuple(self._stack)))
        is_key = isinstance(token, yaml.KeyToken) and token.start_mark.index != token.end_mark.index
        if is_item or is_key or not self.rows[row][:column].strip():
            self._indicator = token

    def _parted(self, row: int, column: int) -> None:
        """Let one blank part an indicator from what stands behind it on its line."""
        before, self._indicator = self._indicator, None
        if before is not None and before.end_mark.line == row and column - before.end_mark.column > 1:
            self._blanks.setdefault(row, []).append((before.end_mark.column, column))

    def _value(self, token: Any) -> None:
        """Take a value, which may go on over several lines."""
        start, end = token.start_mark, token.end_mark
        self._parted(start.line, start.column)
        if token.style in ("|", ">"):
            self._text(token)
            return
        for row in range(start.line, end.line + 1):
            self._within(row)
            if self.lines[row].kind is Kind.WITHIN and self._stack and not self._flow:
                self.lines[row].indent = self.lines[row].hold
            if not self.lines[row].text:
                self.lines[row].kind = Kind.TEXT  # it stands for a line break

    def _bracket(self, token: Any, row: int) -> None:
        """Take a token of a list or mapping in brackets; its lines from first to last belong to it."""
        if isinstance(token, yaml.FlowSequenceStartToken | yaml.FlowMappingStartToken):
            self._parted(row, token.start_mark.column)
            self._flow_from = row if self._flow == 0 else self._flow_from
            self._flow += 1
            self._within(row)
        elif isinstance(token, yaml.FlowSequenceEndToken | yaml.FlowMappingEndToken):
            self._flow -= 1
            if self._flow == 0:
                for inner in range(self._flow_from, row + 1):
                    self._within(inner)

    def _within(self, row: int) -> None:
        """Let a line that begins no entry move with the one that it belongs to."""
        line = self.lines[row]
        if line.kind is not Kind.EMPTY or not line.text:
            return
        line.kind = Kind.WITHIN
        line.indent = len(self.rows[row]) - len(self.rows[row].lstrip())
        if self._stack:
            top = self._stack[-1]
            line.hold = top.new + STEP
            least = top.new if line.text[0] in "]}" else line.hold
            line.indent = max(line.indent + top.new - top.old, least)

    def _text(self, token: Any) -> None:
        """Take a text whose blanks count: all its lines move by the same number of blanks."""
        start, end = token.start_mark, token.end_mark
        self._within(start.line)
        head = _HEAD.match(self.rows[start.line][start.column :])
        rows = range(start.line + 1, end.line + (end.column > 0))
        filled = max((n for n, row in enumerate(rows, 1) if self.rows[row].strip(" ")), default=0)
        kind, kept = (Kind.KEPT, len(rows)) if head and "+" in head[0] else (Kind.TEXT, filled)
        old, new = self._margins(int(head[1]) if head and head[1] else 0, rows)
        for row in rows[:kept]:
            self.lines[row] = Line(self.rows[row][old:], new, kind)

    def _margins(self, stated: int, rows: range) -> tuple[int, int]:
        """Return the columns where the lines of a text begin, and will begin."""
        if not self._stack:
            return 0, 0
        top = self._stack[-1]
        if stated:
            holder = self._stack[-2] if top.flush else top
            return holder.old + stated, top.new + stated
        first = next((self.rows[row] for row in rows if self.rows[row].strip(" ")), "")
        return len(first) - len(first.lstrip(" ")), top.new + STEP

    def _beside(self, row: int, column: int) -> int:
        """Return the new column of the deepest list or mapping around a comment that began no deeper."""
        at = bisect(self._stacks, row, key=lambda one: one[0])
        below = self._stacks[at][0] if at < len(self._stacks) else -1
        around = [stack for n, stack in self._stacks[at:] if n == below] if below >= 0 else []
        around += [self._stacks[at - 1][1]] if at else []
        blocks = [block for stack in around for block in stack if block.old <= column]
        return max(blocks, key=lambda block: block.old).new if blocks else 0
