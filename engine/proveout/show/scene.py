"""A drawing on a grid of character cells, of which both an SVG picture and plain text are made.

A scene is as wide as a narrow terminal and a small phone allow, so that one layout serves everywhere. Columns
and rows count from 0 at the upper left.
"""

from __future__ import annotations

import textwrap
from typing import TypeAlias

from msgspec import Struct

#: Columns of every scene.
WIDE = 38

#: What a line is: a wire, one that does not matter now, the meter's leads, a hose, an arrow's shaft.
WIRE, SOFT, RED, BLACK, HOSE, ARROW = "wire", "soft", "red", "black", "hose", "arrow"
#: How a box looks: a thing, the place that is meant, the body of the car, a wheel.
THING, MARKED, BODY, WHEEL = "thing", "marked", "body", "wheel"


class Box(Struct, frozen=True):
    """A box with lines of text in its middle; ``wide`` and ``high`` count its border cells, too."""

    x: int
    y: int
    wide: int
    high: int
    text: tuple[str, ...] = ()
    how: str = THING

    @property
    def right(self) -> int:
        """The column of the right border."""
        return self.x + self.wide - 1

    @property
    def bottom(self) -> int:
        """The row of the lower border."""
        return self.y + self.high - 1


class Line(Struct, frozen=True):
    """A line through cells; each point shares its column or its row with the one before."""

    points: tuple[tuple[int, int], ...]
    how: str = WIRE


class Label(Struct, frozen=True):
    """A text that begins at a cell, or, with ``middle``, has its middle there."""

    x: int
    y: int
    text: str
    middle: bool = False


class Spot(Struct, frozen=True):
    """Where a lead touches: ``how`` is ``RED`` or ``BLACK``; a letter tells them apart without colour."""

    x: int
    y: int
    how: str


Item: TypeAlias = Box | Line | Label | Spot


class Scene(Struct, frozen=True):
    """A drawing.

    Attributes:
        high: rows.
        items: what is drawn, in order; later ones lie on top.
    """

    high: int
    items: tuple[Item, ...]


def folded(text: str, columns: int, most: int = 6) -> tuple[str, ...]:
    """Return a text in lines of so many columns; what does not fit into ``most`` lines ends in dots."""
    lines = textwrap.wrap(text, columns, break_on_hyphens=True) or [""]
    if len(lines) <= most:
        return tuple(lines)
    return (*lines[: most - 1], lines[most - 1][: columns - 3].rstrip() + "...")
