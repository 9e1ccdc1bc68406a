"""The scenes of the pictures: each form laid out on the grid from what its picture says."""

from __future__ import annotations

from proveout.show.picture import CIRCUIT, CLAMP, EXCHANGE, PAIR, SUBSTITUTE, TOOL, Picture
from proveout.show.scene import (
    ARROW,
    BLACK,
    HOSE,
    RED,
    SOFT,
    WIDE,
    WIRE,
    Box,
    Item,
    Label,
    Line,
    Scene,
    Spot,
    folded,
)

#: Rows of the wires between module and part.
_ROWS = {"supply": 3, "feed": 3, "control": 5, "signal": 5, "ground": 7}
#: Columns of a box of two side by side, and of the text in it.
_HALF, _INNER = 17, 15


def scene_of(picture: Picture) -> Scene:
    """Return the scene of a picture."""
    return _FORMS[picture.form](picture)


def _circuit(picture: Picture) -> Scene:
    """Draw module, plug and part with their wires, and where the leads touch them."""
    parted, plug = picture.parted, 20
    gap = 4 if parted else 0
    part = plug + 4 + gap
    plug_name = "plug, parted" if parted else "plug, joined"
    boxes: list[Item] = [
        Label(plug + 1 + gap // 2, 0, plug_name, middle=True),
        Box(0, 1, 8, 9, ("other", "end")),
        Box(part + 2, 1, WIDE - part - 2, 9, ("part",)),
        Box(plug, 1, 3, 9),
        Box(plug + 2 + gap, 1, 3, 9) if parted else Box(plug + 2, 1, 3, 9),
    ]
    wires: list[Item] = []
    names: list[Item] = []
    named = {picture.wire, picture.black_wire} - {""}
    # A supply is drawn only where a lead touches it: a sensor with two wires has none.
    shown = named if named & {"feed", "control"} else {"signal", "ground"} | named
    for name in sorted(shown, key=lambda wire: _ROWS[wire]):
        y, how = _ROWS[name], WIRE if name in named else SOFT
        wires += [Line(((7, y), (plug, y)), how), Line(((part, y), (part + 2, y)), how)]
        names.append(Label(9, y, f" {name} "))
    return Scene(17, (*wires, *boxes, *names, *_leads_of_circuit(picture, plug)))


def _leads_of_circuit(picture: Picture, plug: int) -> list[Item]:
    """Draw the meter below, one lead to its wire, the other to its wire or to a place of its own."""
    red = plug + 1 if picture.parted else plug - 1
    meter = Box(20, 12, 18, 4, folded(picture.meter, 16, 2))
    y = _ROWS[picture.wire]
    items: list[Item] = [meter, Line(((red, y), (red, 11), (23, 11), (23, 12)), RED)]
    items += [Spot(red, y, RED), Spot(23, 12, RED)]
    if picture.black_wire:
        black, at = plug - 3, _ROWS[picture.black_wire]
        points = ((black, at), (black, 14), (20, 14))
        items += [Line(points, BLACK), Spot(black, at, BLACK), Spot(20, 14, BLACK)]
        return items
    box = Box(0, 11, 16, 6, folded(picture.black, 14, 4))
    return [*items, box, Line(((15, 14), (20, 14)), BLACK), Spot(15, 14, BLACK), Spot(20, 14, BLACK)]


def _pair(picture: Picture) -> Scene:
    """Draw two places and the meter below with a lead to each; ohms are read of what lies between."""
    left, right = folded(picture.red, _INNER), folded(picture.black, _INNER)
    high = max(len(left), len(right)) + 2
    meter = Box(10, high + 1, 18, 4, folded(picture.meter, 16, 2))
    bottom, y = high - 1, high + 2
    between = Line(((_HALF - 1, high // 2), (WIDE - _HALF, high // 2)), SOFT)
    return Scene(
        high + 5,
        (
            *((between,) if picture.meter == "ohms" else ()),
            Box(0, 0, _HALF, high, left),
            Box(WIDE - _HALF, 0, _HALF, high, right),
            meter,
            Line(((5, bottom), (5, y), (10, y)), RED),
            Line(((32, bottom), (32, y), (27, y)), BLACK),
            *(Spot(x, at, RED) for x, at in ((5, bottom), (10, y))),
            *(Spot(x, at, BLACK) for x, at in ((32, bottom), (27, y))),
        ),
    )


def _clamp(picture: Picture) -> Scene:
    """Draw a wire through the jaw of a clamp meter."""
    return Scene(
        9,
        (
            Box(13, 0, 12, 5),
            Line(((0, 2), (WIDE - 1, 2)), WIRE),
            Label(0, 1, "current"),
            Line(((0, 3), (7, 3)), ARROW),
            Box(9, 4, 20, 4, folded(picture.meter, 18, 2)),
            Label(WIDE // 2, 8, f"round: {picture.red}"[:WIDE], middle=True),
        ),
    )


def _tool(picture: Picture) -> Scene:
    """Draw a tool and the place where it goes."""
    left, right = folded(picture.meter, _INNER), folded(picture.red, _INNER)
    high = max(len(left), len(right)) + 2
    return Scene(
        high,
        (
            Line(((_HALF - 1, high // 2), (WIDE - _HALF, high // 2)), HOSE),
            Box(0, 0, _HALF, high, left),
            Box(WIDE - _HALF, 0, _HALF, high, right),
        ),
    )


def _exchange(picture: Picture) -> Scene:
    """Draw two like parts that change their places."""
    return Scene(
        11,
        (
            Box(0, 0, 14, 5, ("place with", "the trouble")),
            Box(24, 0, 14, 5, ("like place", "without it")),
            Line(((14, 1), (23, 1)), ARROW),
            Line(((23, 3), (14, 3)), ARROW),
            Label(0, 6, "1 mark both, 2 change them over,"),
            Label(0, 7, "3 try as when it came, 4 put back"),
            *_came(picture, 8),
        ),
    )


def _substitute(picture: Picture) -> Scene:
    """Draw a part that works, put into the place of the one in doubt for a while."""
    return Scene(
        11,
        (
            Box(0, 0, 14, 5, ("one that", "works")),
            Box(24, 0, 14, 5, ("place with", "the trouble")),
            Line(((14, 2), (23, 2)), ARROW),
            Label(0, 6, "1 same number? 2 put it in,"),
            Label(0, 7, "3 try as when it came, 4 put back"),
            *_came(picture, 8),
        ),
    )


def _came(picture: Picture, y: int) -> list[Item]:
    """Write the results that may come of a swap, in three lines at most."""
    lines = folded("Then one of: " + ", ".join(picture.results), WIDE, 3)
    return [Label(0, y + row, line) for row, line in enumerate(lines)]


_FORMS = {
    CIRCUIT: _circuit,
    PAIR: _pair,
    CLAMP: _clamp,
    TOOL: _tool,
    EXCHANGE: _exchange,
    SUBSTITUTE: _substitute,
}
