"""Boxes with text and arrows between them, as parts of an SVG."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from html import escape

from msgspec import Struct

#: Width of a box, the room between two, where the first begins, all in the drawing's units.
WIDE, GAP, TOP = 190, 12, 26
#: Inks: what speaks for, what speaks against, and plain lines.
FOR, AGAINST, LINE = "#1f5b3a", "#7a3b12", "#5b6066"


class Box(Struct, frozen=True):
    """A box: its name, its lines of text, and its place."""

    key: str
    lines: tuple[str, ...]
    x: float
    y: float

    @property
    def high(self) -> float:
        """Its height."""
        return 10 + 14 * len(self.lines)

    @property
    def middle(self) -> float:
        """The height at which arrows begin and end."""
        return self.y + self.high / 2


def column(titles: Sequence[tuple[str, str]], x: float) -> list[Box]:
    """Return boxes one below the other, for pairs of a name and a title."""
    found, y = [], float(TOP)
    for key, title in titles:
        box = Box(key, lines_of(title), x, y)
        found.append(box)
        y += box.high + GAP
    return found


def lines_of(text: str) -> tuple[str, ...]:
    """Cut a title into lines that fit a box, four at most: how it came out stands at its end."""
    return tuple(textwrap.wrap(text, 26, max_lines=4, placeholder=" …")) or ("",)


def bottom(boxes: Sequence[Box]) -> float:
    """Return where the lowest of some boxes ends."""
    return max((box.y + box.high for box in boxes), default=0.0)


def arrow(start: Box, end: Box, ink: str, thick: float, dash: str, label: str = "") -> str:
    """Return a line from the right side of a box to the left side of another, with a label at its start."""
    x, y, to, at = start.x + WIDE, start.middle, end.x, end.middle
    bend = (to - x) / 2
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    path = (
        f'<path d="M{x:.1f} {y:.1f}C{x + bend:.1f} {y:.1f} {to - bend:.1f} {at:.1f} {to:.1f} {at:.1f}" '
        f'fill="none" stroke="{ink}" stroke-width="{thick:.1f}"{dashed}/>'
    )
    return path + (f'<text x="{x + 5:.1f}" y="{y - 4:.1f}" fill="{ink}">{label}</text>' if label else "")


def along(start: Box, end: Box, share: float) -> tuple[float, float]:
    """Return the point at a share of an arrow's course, 0 at its start (a cubic Bézier curve)."""
    x, to, rest = start.x + WIDE, end.x, 1 - share
    near, far = rest**3 + 3 * rest**2 * share, share**3 + 3 * rest * share**2
    bend = 3 * rest * share * (rest - share) * (to - x) / 2
    return near * x + far * to + bend, near * start.middle + far * end.middle


def drawn(box: Box, bold: bool = False) -> str:
    """Return a box with its text."""
    weight = ' font-weight="bold"' if bold else ""
    texts = "".join(
        f'<text x="{box.x + 7:g}" y="{box.y + 17 + 14 * row:g}"{weight}>{escape(line)}</text>'
        for row, line in enumerate(box.lines)
    )
    return (
        f'<rect x="{box.x:g}" y="{box.y:g}" width="{WIDE}" height="{box.high:g}" fill="#fff" '
        f'stroke="#1d1f21" stroke-width="{1.8 if bold else 1}"/>{texts}'
    )


def sheet(wide: float, high: float, title: str, parts: Sequence[str]) -> str:
    """Return the whole drawing."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-1 -1 {wide + 2:g} {high + 2:g}" role="img" '
        f'font-family="sans-serif" font-size="11.5" fill="#1d1f21"><title>{escape(title)}</title>'
        + "".join(parts)
        + "</svg>"
    )
