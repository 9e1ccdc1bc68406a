"""Drawings of an argument as SVG: the course of confidence, and a ledger as a staircase."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from proveout.model.belief import Entry
from proveout.show.figures import percent, shortened

#: Ways of drawing the lines of several causes apart without colour.
_DASHES = ("", "6 3", "2 3", "9 3 2 3")
#: Advices beyond this have only the first and the last labelled.
_LABELS = 9
_WIDE, _LEFT, _TOP, _HIGH = 640, 44, 12, 190


def course_svg(titles: Mapping[str, str], moments: Sequence[tuple[str, Mapping[str, float]]]) -> str:
    """Return how the confidence in some causes went from one advice to the next.

    Args:
        titles: cause id to its title, in the order of the legend; at most four are told apart.
        moments: label and cause id to confidence, in their order; two at least.
    """
    if len(moments) < 2 or not titles:
        return ""
    step = (_WIDE - _LEFT - 20) / (len(moments) - 1)
    parts = [_head(_WIDE, _TOP + _HIGH + 34 + 18 * len(titles), "Course of the confidence")]
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        y = _TOP + (1 - share) * _HIGH
        parts.append(f'<path d="M{_LEFT} {y:.1f}H{_WIDE - 20}" stroke="#c9c5bb"/>')
        parts.append(f'<text x="{_LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{share * 100:.0f} %</text>')
    for number, (label, _) in enumerate(moments):
        x = _LEFT + number * step
        anchor = "start" if number == 0 else "end" if number == len(moments) - 1 else "middle"
        if number in (0, len(moments) - 1) or len(moments) <= _LABELS:
            at = f'x="{x:.1f}" y="{_TOP + _HIGH + 16}" text-anchor="{anchor}"'
            parts.append(f"<text {at}>{escape(label)}</text>")
    for line, (cause, title) in enumerate(titles.items()):
        parts += _course(line, title, [found.get(cause, 0.0) for _, found in moments], step)
    return "".join([*parts, "</svg>"])


def _course(line: int, title: str, shares: Sequence[float], step: float) -> list[str]:
    """Return the line of one cause with its entry in the legend."""
    points = [(_LEFT + place * step, _TOP + (1 - share) * _HIGH) for place, share in enumerate(shares)]
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    ink = "#7a3b12" if line == 0 else "#1d1f21"
    how = f'fill="none" stroke="{ink}" stroke-width="{2.4 if line == 0 else 1.4}"'
    dash = f' stroke-dasharray="{_DASHES[line % len(_DASHES)]}"' if _DASHES[line % len(_DASHES)] else ""
    at = _TOP + _HIGH + 38 + 18 * line
    return [
        f'<polyline points="{path}" {how}{dash}/>',
        *(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.6" fill="{ink}"/>' for x, y in points),
        f'<path d="M{_LEFT} {at}h34" {how}{dash}/>',
        f'<text x="{_LEFT + 42}" y="{at + 4}">{escape(title)}, now {percent(shares[-1])}</text>',
    ]


def ledger_svg(entries: Sequence[tuple[str, Entry]], total: float) -> str:
    """Return a ledger as a staircase: each piece of evidence begins where the one before ended, in decibans.

    Args:
        entries: what each is called, and the entry.
        total: their sum.
    """
    if not entries:
        return ""
    ends, at = [0.0], 0.0
    for _, entry in entries:
        at += entry.decibans
        ends.append(at)
    low, high = min(ends), max(ends)
    scale = (_WIDE - 330) / max(high - low, 1e-9)
    parts = [_head(_WIDE, 22 * (len(entries) + 1) + 12, "Evidence, piece by piece")]

    def x_of(value: float) -> float:
        return 262 + (value - low) * scale

    for row, (title, entry) in enumerate(entries):
        left, right = sorted((x_of(ends[row]), x_of(ends[row + 1])))
        y, ink = 6 + 22 * row, "#1f5b3a" if entry.decibans >= 0 else "#7a3b12"
        parts.append(f'<text x="254" y="{y + 13}" text-anchor="end">{escape(shortened(title, 38))}</text>')
        parts.append(
            f'<rect x="{left:.1f}" y="{y}" width="{max(right - left, 1):.1f}" height="16" fill="{ink}"/>'
        )
        parts.append(f'<text x="{right + 5:.1f}" y="{y + 13}">{entry.decibans:+.1f}</text>')
    y = 6 + 22 * len(entries)
    share = 1 / (1 + 10 ** (-total / 10))
    parts.append(f'<text x="254" y="{y + 13}" text-anchor="end" font-weight="bold">in all</text>')
    parts.append(f'<path d="M{x_of(total):.1f} {y}v16" stroke="#1d1f21" stroke-width="2"/>')
    parts.append(f'<path d="M{x_of(0.0):.1f} 2V{y + 18}" stroke="#5b6066" stroke-dasharray="3 3"/>')
    told = f"{total:+.1f}, which is {percent(share)}"
    where, anchor = (x_of(total) - 6, "end") if x_of(total) > _WIDE - 170 else (x_of(total) + 6, "start")
    parts.append(f'<text x="{where:.1f}" y="{y + 13}" text-anchor="{anchor}">{told}</text>')
    return "".join([*parts, "</svg>"])


#: Fills of the parts of a bar, told apart without colour by their patterns of lines.
_FILLS = ("#1d1f21", "#7a3b12", "#8d8a80", "#d9d5c9")


def bars_svg(bars: Sequence[tuple[str, Sequence[tuple[str, float]]]], unit: str) -> str:
    """Return amounts as bars, each made of parts laid end to end, with the total behind it.

    Args:
        bars: of each its name and its parts, a name and an amount each; parts of nothing are left out.
        unit: of the amounts.
    """
    most = max((sum(amount for _, amount in parts) for _, parts in bars), default=0.0)
    if most <= 0:
        return ""
    scale = (_WIDE - 150 - 90) / most
    drawn = []
    for row, (name, parts) in enumerate(bars):
        x, y = 150.0, 6 + 44 * row
        drawn.append(f'<text x="142" y="{y + 14}" text-anchor="end">{escape(name)}</text>')
        told = []
        for fill, (part, amount) in zip(_FILLS, parts, strict=False):
            if amount <= 0:
                continue
            wide = amount * scale
            drawn.append(
                f'<rect x="{x:.1f}" y="{y}" width="{wide:.1f}" height="18" fill="{fill}" stroke="#1d1f21"/>'
            )
            told.append(f"{part} {amount:.0f}")
            x += wide
        total = sum(amount for _, amount in parts)
        whole = f"{total:.0f} {escape(unit)}"
        drawn.append(f'<text x="{x + 6:.1f}" y="{y + 14}" font-weight="bold">{whole}</text>')
        drawn.append(f'<text x="150" y="{y + 32}">{escape(", ".join(told))}</text>')
    title = f"Money spent and what guessing was expected to cost, {unit}"
    return "".join([_head(_WIDE, 44 * len(bars) + 6, title), *drawn, "</svg>"])


def _head(wide: float, high: float, title: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" role="img" '
        f'font-family="sans-serif" font-size="11.5" fill="#1d1f21"><title>{escape(title)}</title>'
    )
