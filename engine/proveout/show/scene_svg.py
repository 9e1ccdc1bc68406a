"""A scene as inline SVG: no script, no style of its own, nothing fetched; its words stand in its title."""

from __future__ import annotations

from html import escape

from proveout.show.scene import (
    ARROW,
    BLACK,
    BODY,
    HOSE,
    MARKED,
    RED,
    SOFT,
    WHEEL,
    WIDE,
    WIRE,
    Box,
    Label,
    Line,
    Scene,
    Spot,
)

#: Size of a cell in units of the picture: a picture is 342 wide, which a phone shows at its full size.
_ACROSS, _DOWN = 9, 17
_INK, _SOFT, _RED = "#1d1f21", "#8a8579", "#b3261e"
_STROKES = {
    WIRE: (_INK, "2"),
    SOFT: (_SOFT, "2"),
    RED: (_RED, "3"),
    BLACK: (_INK, "3"),
    HOSE: ("#5b6066", "7"),
    ARROW: (_INK, "2"),
}
#: Keeps a text apart from the lines that it stands on.
_HALO = 'stroke="#ffffff" stroke-width="5" paint-order="stroke"'
#: Fill, stroke, its width and the radius of the corners.
_BOXES = {
    MARKED: ("#f0d9a8", _INK, "3.5", 4),
    BODY: ("#fbfaf7", _SOFT, "2", 26),
    WHEEL: (_INK, _INK, "1", 4),
}


def scene_svg(scene: Scene, words: str) -> str:
    """Return the picture; ``words`` say what it shows to whoever does not see it."""
    high = scene.high * _DOWN
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE * _ACROSS} {high}" '
        f'width="{WIDE * _ACROSS}" height="{high}" role="img" font-family="sans-serif" '
        f'font-size="12.5" fill="{_INK}"><title>{escape(words)}</title>'
        + "".join(_drawn(item) for item in scene.items)
        + "</svg>"
    )


def _at(x: float, y: float) -> tuple[float, float]:
    """Return the middle of a cell."""
    return (x + 0.5) * _ACROSS, (y + 0.5) * _DOWN


def _drawn(item: Box | Line | Label | Spot) -> str:
    match item:
        case Box():
            return _box(item)
        case Line():
            return _line(item)
        case Spot():
            return _spot(item)
    x, y = _at(item.x, item.y)
    x, anchor = (x, "middle") if item.middle else (x - _ACROSS / 2, "start")
    return f'<text x="{x:g}" y="{y + 4.5:g}" text-anchor="{anchor}" {_HALO}>{escape(item.text)}</text>'


def _box(box: Box) -> str:
    fill, stroke, thick, radius = _BOXES.get(box.how, ("#f3f0e8", _INK, "1.2", 4))
    (left, top), (right, bottom) = _at(box.x, box.y), _at(box.right, box.bottom)
    parts = [
        f'<rect x="{left:g}" y="{top:g}" width="{right - left:g}" height="{bottom - top:g}" rx="{radius}" '
        f'fill="{fill}" stroke="{stroke}" stroke-width="{thick}"/>'
    ]
    middle, first = (left + right) / 2, (top + bottom) / 2 - (len(box.text) - 1) * 7.5 + 4.5
    weight = ' font-weight="bold"' if box.how == MARKED else ""
    for number, text in enumerate(box.text):
        parts.append(
            f'<text x="{middle:g}" y="{first + 15 * number:g}" text-anchor="middle"{weight}>'
            f"{escape(text)}</text>"
        )
    return "".join(parts)


def _line(line: Line) -> str:
    ink, thick = _STROKES[line.how]
    points = [_at(x, y) for x, y in line.points]
    path = "M" + "L".join(f"{x:g} {y:g}" for x, y in points)
    drawn = (
        f'<path d="{path}" fill="none" stroke="{ink}" stroke-width="{thick}" '
        'stroke-linejoin="round" stroke-linecap="round"/>'
    )
    return drawn + (_head(points[-2], points[-1]) if line.how == ARROW else "")


def _head(before: tuple[float, float], end: tuple[float, float]) -> str:
    """Draw the head of an arrow."""
    (x, y), (to_x, to_y) = before, end
    along = -9 if to_x > x or to_y > y else 9
    wings = f"l{along} -5v10z" if y == to_y else f"l-5 {along}h10z"
    return f'<path d="M{to_x:g} {to_y:g}{wings}" fill="{_INK}"/>'


def _spot(spot: Spot) -> str:
    x, y = _at(spot.x, spot.y)
    ink, letter = (_RED, "R") if spot.how == RED else (_INK, "B")
    return (
        f'<circle cx="{x:g}" cy="{y:g}" r="7" fill="{ink}"/><text x="{x:g}" y="{y + 3.6:g}" '
        f'text-anchor="middle" font-size="10" font-weight="bold" fill="#ffffff">{letter}</text>'
    )
