"""A page of text whose parts have roles that a terminal may colour; without colour it says the same."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TypeAlias

from proveout.show.figures import wrapped

#: What a part of a line can be; "" is plain text.
HEAD, GOOD, BAD, WARN, DIM, TYPED = "head", "good", "bad", "warn", "dim", "typed"

#: Below so many columns there is no room for labels in a column of their own.
NARROW = 60

#: A part of a line: its role and its text.
Part: TypeAlias = tuple[str, str]

#: A bar is drawn in eighths of a character: a full block, then those from one to seven eighths.
_FULL, _EIGHTHS = "█", " ▏▎▍▌▋▊▉"


@dataclass(slots=True)
class Page:
    """Lines under way to a reader.

    Attributes:
        width: columns to keep within, where words allow it.
        lines: each a list of parts.
    """

    width: int = 80
    lines: list[list[Part]] = field(default_factory=list)

    def line(self, *parts: Part) -> None:
        """Add one line of parts as they are; without parts an empty one."""
        self.lines.append(list(parts))

    def wrap(self, text: str, first: str = "", rest: str | None = None, role: str = "") -> None:
        """Add a text, wrapped, with a lead for the first and the other lines."""
        self.lines += [[(role, line)] for line in wrapped(text, self.width, first, rest)]

    def labelled(self, label: str, text: str, indent: int, role: str = "") -> None:
        """Add a text with a label in a column of its own; on a narrow page it runs on after the label."""
        before = f"{label}: " if self.width < NARROW else label.ljust(indent)
        lead, *others = wrapped(text, self.width, before, "  " if self.width < NARROW else " " * indent)
        self.line((DIM, lead[: len(before)]), (role, lead[len(before) :]))
        self.lines += [[(role, line)] for line in others]

    def lay(self, lines: Iterable[str], role: str = "") -> None:
        """Add lines that are laid out already."""
        self.lines += [[(role, line)] for line in lines]

    def text(self) -> str:
        """Return the page without its roles."""
        return "\n".join("".join(text for _, text in line).rstrip() for line in self.lines)


def bar(share: float, columns: int) -> str:
    """Return a bar of at most so many columns for a share of 1; what is above nothing has an eighth."""
    eighths = min(columns * 8, max(round(share * columns * 8), 1 if share > 0 else 0))
    return (_FULL * (eighths // 8) + _EIGHTHS[eighths % 8]).rstrip()
