"""One layout for rule files: what parts sections and ends lines, never how a line itself is written."""

from __future__ import annotations

import re

from proveout.model.problem import BadInputError, Place, Problem
from proveout.text.compose import compose
from proveout.text.node import Mapping, plain

#: A section of a rule file at the beginning of a line.
_SECTION = re.compile(r"[a-z][a-z_-]*:(\s|$)")


def laid_out(text: str, file: str) -> str:
    """Return a rule file's text in the one layout; laid out again, it stays as it is.

    Lines end with a line feed and without blanks; sections are parted by one empty line, which stands before
    the comments that belong to a section; nowhere are two empty lines together. Order, quotes, brackets and
    comments stay.

    Args:
        text: YAML.
        file: its name, for complaints.

    Raises:
        BadInputError: it is not YAML of ours, or it would say something else afterwards, as a text of several
            lines can that ends in blanks.
    """
    before = compose(text, file)
    new = _spaced(text.splitlines(), isinstance(before, Mapping))
    if plain(compose(new, file)) != plain(before):
        saw = "a text of several lines whose blanks or empty lines count"
        raise BadInputError(Problem(Place(file), "not-laid-out", saw, "", "quote it, or lay it out by hand"))
    return new


def _spaced(lines: list[str], sections: bool) -> str:
    """Part sections by one empty line and take blanks off the ends of lines."""
    found: list[str] = []
    for line in lines:
        bare = line.rstrip()
        if not bare and (not found or not found[-1]):
            continue
        if sections and _SECTION.match(bare):
            _part(found)
        found.append(bare)
    return "\n".join(found).rstrip("\n") + "\n"


def _part(lines: list[str]) -> None:
    """Put an empty line before the comments that end some lines, unless the file begins with them."""
    at = len(lines)
    while at and lines[at - 1].startswith("#"):
        at -= 1
    if at and lines[at - 1]:
        lines.insert(at, "")
    elif not at and lines and lines[-1].startswith("# yaml-language-server"):
        lines.append("")
