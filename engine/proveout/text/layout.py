"""One layout for rule files: how deep entries stand, what parts sections, how long lines are."""

from __future__ import annotations

import re

from proveout.model.problem import BadInputError, Place, Problem
from proveout.text.compose import compose
from proveout.text.indents import Kind, Line, indented
from proveout.text.node import plain
from proveout.text.wrapping import wrapped

#: What YAML 1.1 takes for the end of a line, and nobody else does.
_ODD_END = re.compile("[\x85\u2028\u2029]")
#: Behind these no empty line is put: there is one, the document begins, or it would count.
_NO_ROOM = (Kind.EMPTY, Kind.OTHER, Kind.KEPT)


def laid_out(text: str, file: str) -> str:
    """Return a rule file's text in the one layout; laid out again, it stays as it is.

    Lines end with a line feed and without blanks; sections are parted by one empty line, which stands before
    the comments that belong to a section; nowhere are two empty lines together. An entry stands two columns
    deeper than what holds it, and a line of more than ``wrapping.WIDTH`` characters is broken where that
    changes nothing. Order, quotes, brackets and comments stay, and so do texts behind ``|`` and ``>``.

    Args:
        text: YAML.
        file: its name, for complaints.

    Raises:
        BadInputError: it is not YAML of ours, or its lines end in a way that only some readers know.
    """
    before = compose(text, file)
    bare = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    odd = _ODD_END.search(bare)
    if odd is not None:
        saw = "a character that ends a line for some readers and not for others"
        raise BadInputError(Problem(_place(bare, odd.start(), file), "not-laid-out", saw, "", "take it out"))
    new = "\n".join(wrapped(_spaced(indented(bare)))) + "\n"
    if new != text and repr(plain(compose(new, file))) != repr(plain(before)):
        saw = "a text of several lines that would say something else"
        raise BadInputError(Problem(Place(file), "not-laid-out", saw, "", "quote it, or lay it out by hand"))
    return new


def _place(text: str, at: int, file: str) -> Place:
    """Return the place of a character of a text."""
    above = text[:at]
    return Place(file, above.count("\n") + 1, at - (above.rfind("\n") + 1) + 1)


def _spaced(lines: list[Line]) -> list[Line]:
    """Part sections by one empty line, and leave no two empty lines together."""
    found: list[Line] = []
    for line in lines:
        if line.kind is Kind.EMPTY and (not found or found[-1].kind is Kind.EMPTY):
            continue
        if line.section:
            _part(found)
        found.append(line)
    while found and found[-1].kind is Kind.EMPTY:
        found.pop()
    return found


def _part(lines: list[Line]) -> None:
    """Put an empty line before the comments that end some lines, unless the file begins with them."""
    at = len(lines)
    while at and lines[at - 1].kind is Kind.COMMENT and not lines[at - 1].indent:
        at -= 1
    if at and lines[at - 1].kind not in _NO_ROOM:
        lines.insert(at, Line(""))
    elif not at and lines and lines[-1].text.startswith("# yaml-language-server"):
        lines.append(Line(""))
