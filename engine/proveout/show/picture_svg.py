"""Pictures of an inspection as inline SVG, drawn from their data; words stand in them and beside them."""

from __future__ import annotations

from html import escape

from proveout.show.picture import BATTERY, ENDS, HARNESS, JOINED, PINS, PUMP, Picture

_WIDE, _HIGH = 640, 230
#: Heights of the wires between module and part.
_WIRES = {"supply": 50, "feed": 50, "signal": 85, "control": 85, "ground": 120}
_RED, _INK, _SOFT = "#b3261e", "#1d1f21", "#8a8579"


def picture_svg(picture: Picture) -> str:
    """Return the picture."""
    does = {JOINED: _circuit, HARNESS: _circuit, ENDS: _ends, PINS: _pins, PUMP: _pump}
    inner = does.get(picture.form, _swap)(picture)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {_HIGH}" role="img" '
        f'font-family="sans-serif" font-size="13" fill="{_INK}"><title>{escape(picture.words())}</title>'
        + "".join(inner)
        + "</svg>"
    )


def _box(x: float, y: float, wide: float, high: float, text: str, how: str = "") -> str:
    return (
        f'<rect x="{x}" y="{y}" width="{wide}" height="{high}" rx="4" fill="#f3f0e8" stroke="{_INK}" {how}/>'
        f'<text x="{x + wide / 2}" y="{y + high / 2 + 5}" text-anchor="middle">{escape(text)}</text>'
    )


def _lead(path: str, colour: str) -> str:
    return f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="3" stroke-linecap="round"/>'


def _label(x: float, y: float, text: str, anchor: str = "middle", colour: str = _INK) -> str:
    return f'<text x="{x}" y="{y}" text-anchor="{anchor}" fill="{colour}">{escape(text)}</text>'


def _meter(x: float, y: float, text: str) -> str:
    return _box(x, y, 120, 44, f"meter: {text}", 'stroke-width="2"')


def _circuit(picture: Picture) -> list[str]:
    """Draw module, plug and part with the wire that is measured, against battery or metal."""
    parted = picture.form == HARNESS
    gap = 34 if parted else 0
    at = _WIRES[picture.wire]
    parts = [
        _box(16, 30, 92, 110, "module"),
        _box(500 + gap, 30, 110 - gap, 110, "part" if parted else "sensor"),
    ]
    parts += [
        f'<rect x="392" y="34" width="26" height="102" fill="#fff" stroke="{_INK}"/>',
        f'<rect x="{420 + gap}" y="34" width="26" height="102" fill="#fff" stroke="{_INK}"/>',
        _label(419 + gap / 2, 24, "plug, parted" if parted else "plug, joined"),
    ]
    shown = (picture.wire,) if picture.wire in ("feed", "control") else ("supply", "signal", "ground")
    for name in shown:
        y, ink = _WIRES[name], _INK if name == picture.wire else _SOFT
        parts.append(f'<path d="M108 {y}H392M{446 + gap} {y}H{500 + gap}" stroke="{ink}" stroke-width="2"/>')
        parts.append(_label(180, y - 5, name, colour=ink))
    tip = 418 if parted else 388
    parts += [
        _lead(f"M330 168 C330 {at + 30} {tip - 30} {at + 26} {tip} {at + 3}", _RED),
        f'<circle cx="{tip}" cy="{at}" r="5" fill="{_RED}"/>',
        _label(318, 160, "red", "end", _RED),
        _meter(270, 168, picture.meter),
        _lead("M270 196 H190", _INK),
        _label(232, 190, "black"),
        _box(40, 174, 150, 44, "battery  −" if picture.black == BATTERY else "bare metal"),
    ]
    return parts


def _ends(picture: Picture) -> list[str]:
    """Draw a wire between two parted plugs with a lead at each end."""
    return [
        _box(16, 30, 92, 70, "module"),
        _box(532, 30, 92, 70, "part"),
        f'<rect x="150" y="36" width="26" height="58" fill="#fff" stroke="{_INK}"/>',
        f'<rect x="464" y="36" width="26" height="58" fill="#fff" stroke="{_INK}"/>',
        _label(163, 26, "plug, parted"),
        _label(477, 26, "plug, parted"),
        f'<path d="M176 65H464" stroke="{_INK}" stroke-width="2"/>',
        _label(320, 57, "the wire"),
        _lead("M270 190 C190 190 176 120 176 68", _RED),
        _lead("M390 190 C450 190 464 120 464 68", _INK),
        _meter(260, 168, picture.meter),
        _label(196, 160, "red", colour=_RED),
        _label(446, 160, "black"),
    ]


def _pins(picture: Picture) -> list[str]:
    """Draw the part alone, its plug off, with a lead on each pin."""
    return [
        _box(16, 40, 92, 70, "harness"),
        f'<path d="M108 75H190" stroke="{_SOFT}" stroke-width="2"/>',
        f'<rect x="190" y="46" width="26" height="58" fill="#fff" stroke="{_INK}"/>',
        _label(203, 36, "plug, off"),
        _box(400, 40, 210, 70, picture.part if len(picture.part) < 28 else "the part"),
        f'<path d="M378 60H400M378 90H400" stroke="{_INK}" stroke-width="5"/>',
        _lead("M300 170 C300 100 340 60 376 60", _RED),
        _lead("M340 170 C340 130 350 90 376 90", _INK),
        _meter(260, 168, picture.meter),
        _label(286, 140, "red", "end", _RED),
        _label(356, 140, "black", "start"),
    ]


def _pump(_picture: Picture) -> list[str]:
    """Draw a hand pump with its gauge and hose."""
    return [
        f'<circle cx="120" cy="70" r="38" fill="#fff" stroke="{_INK}" stroke-width="2"/>',
        f'<path d="M120 70L142 48" stroke="{_RED}" stroke-width="3"/>',
        _label(166, 74, "gauge", "start"),
        _box(60, 140, 120, 40, "hand pump"),
        f'<path d="M120 108V140" stroke="{_INK}" stroke-width="4"/>',
        f'<path d="M180 160H330C380 160 380 90 430 90" fill="none" stroke="{_INK}" stroke-width="6"/>',
        _label(300, 148, "hose, tight at both ends"),
        _box(460, 50, 150, 80, "what is tested"),
        f'<path d="M430 90H460" stroke="{_INK}" stroke-width="10"/>',
        _label(445, 148, "port"),
    ]


def _swap(_picture: Picture) -> list[str]:
    """Draw two like parts that are changed over."""
    return [
        _label(150, 36, "place with the trouble"),
        _label(490, 36, "like place without it"),
        _box(80, 60, 140, 60, "part A"),
        _box(420, 60, 140, 60, "part B"),
        _lead("M220 78H410", _RED),
        f'<path d="M410 78l-12 -7v14z" fill="{_RED}"/>',
        _lead("M420 104H230", _INK),
        f'<path d="M230 104l12 -7v14z" fill="{_INK}"/>',
        _label(320, 160, "The trouble moves with part A: it is the part."),
        _label(320, 184, "The trouble stays in its place: it is not the part."),
    ]
