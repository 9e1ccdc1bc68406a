"""A scene as plain text, in characters that every encoding has."""

from __future__ import annotations

from itertools import pairwise

from proveout.show.scene import (
    ARROW,
    BLACK,
    BODY,
    HOSE,
    MARKED,
    RED,
    WHEEL,
    WIDE,
    Box,
    Label,
    Line,
    Scene,
    Spot,
)

#: How lines look: along a row, along a column, at a turn.
_STROKES = {RED: (":", ":", "+"), BLACK: (".", ".", "+"), HOSE: ("~", "~", "~")}
_PLAIN = ("-", "|", "+")
_BORDERS = {MARKED: ("#", "#", "#"), WHEEL: ("=", "=", "=")}


def scene_lines(scene: Scene) -> list[str]:
    """Return the lines of a scene, none longer than ``WIDE``."""
    grid = [[" "] * WIDE for _ in range(scene.high)]
    for item in scene.items:
        match item:
            case Box():
                _box(grid, item)
            case Line():
                _line(grid, item)
            case Label():
                _write(grid, item.x - len(item.text) // 2 if item.middle else item.x, item.y, item.text)
            case Spot():
                grid[item.y][item.x] = "R" if item.how == RED else "B"
    lines = ["".join(row).rstrip() for row in grid]
    while lines and not lines[-1]:
        lines.pop()
    return lines


def _write(grid: list[list[str]], x: int, y: int, text: str) -> None:
    for place, character in enumerate(text, start=x):
        if 0 <= place < WIDE:
            grid[y][place] = character


def _box(grid: list[list[str]], box: Box) -> None:
    across, down, corner = _BORDERS.get(box.how, _PLAIN)
    for y in range(box.y, box.bottom + 1):
        edge = y in (box.y, box.bottom)
        for x in range(box.x, box.right + 1):
            side = x in (box.x, box.right)
            if edge or side:
                grid[y][x] = corner if edge and side else across if edge else down
            elif box.how != BODY:
                grid[y][x] = " "
    first = box.y + max(1, (box.high - len(box.text)) // 2)
    for y, text in enumerate(box.text, start=first):
        _write(grid, box.x + (box.wide - len(text)) // 2, y, text)


def _line(grid: list[list[str]], line: Line) -> None:
    across, down, turn = _STROKES.get(line.how, _PLAIN)
    for (x, y), (to_x, to_y) in pairwise(line.points):
        for place in range(min(x, to_x), max(x, to_x) + 1):
            grid[y][place] = across
        for place in range(min(y, to_y), max(y, to_y) + 1):
            grid[place][to_x] = down if y != to_y else grid[place][to_x]
    for x, y in line.points[1:-1]:
        grid[y][x] = turn
    if line.how == ARROW:
        (x, y), (to_x, to_y) = line.points[-2:]
        grid[to_y][to_x] = (">" if to_x > x else "<") if y == to_y else ("v" if to_y > y else "^")
