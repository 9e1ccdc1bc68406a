"""How far a value or key goes from the place where it begins, on its own line."""

from __future__ import annotations

import re

#: What stands at a place: an entry by its id, a quoted text, or plain text up to what ends it.
_ENTRY = re.compile(r"\{?\s*id:\s+[^\s,}]+")
_QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"?|\'(?:[^\']|\'\')*\'?')
_PLAIN = re.compile(r"(?:(?![,\]}]|:(?:\s|$)|\s#).)+")
_BLOCK = re.compile(r"(?:(?!:(?:\s|$)|\s#).)+")


def extent(line: str, column: int) -> int:
    """Return the number of characters of what begins at a column of a line, at least 1.

    Args:
        line: the line, without its end.
        column: from 1; 0 or beyond the line gives 1.
    """
    rest = line[max(column - 1, 0) :]
    if not rest.strip() or column < 1:
        return 1
    entry = _ENTRY.match(rest)
    if entry:
        return len(entry[0])
    if rest[0] in "\"'":
        found = _QUOTED.match(rest)
    elif rest[0] in "[{]}":
        return 1
    else:
        found = (_PLAIN if _in_brackets(line[: column - 1]) else _BLOCK).match(rest)
    return max(1, len(found[0].rstrip())) if found else 1


def _in_brackets(before: str) -> bool:
    """Say whether a bracket is open at the end of a piece of a line; quoted ones count for nothing."""
    bare = re.sub(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'', "", before)
    return bare.count("{") + bare.count("[") > bare.count("}") + bare.count("]")
