"""What a series of readings is expected to look like: where it begins, and how far it must move."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from proveout.measure.display import Scale, scale_of
from proveout.model.preference import AS_WRITTEN
from proveout.model.specs import ReadingSpec

_LEFT, _RIGHT, _TOP, _BASE = 110, 560, 20, 190
#: Share of the height kept free above and below what is drawn.
_MARGIN = 0.08


def expected_svg(spec: ReadingSpec, display: str = AS_WRITTEN) -> str:
    """Return the drawing for a reading that is a series with a known beginning; "" for any other.

    A straight law is drawn as the band between a beginning and an end that are just good enough; of a curved
    one only beginning and end are drawn. Further is good, too, as far as the limits of the circuit.
    """
    series = spec.series
    if series is None or series.start is None:
        return ""
    low, high = series.start
    sign = 1.0 if series.direction == "rises" else -1.0
    near = (low if sign > 0 else high) + sign * series.span
    limit = series.high_end if sign > 0 else series.low_end
    far = limit if limit is not None else near + sign * series.span
    scale = scale_of(spec, display)
    bottom, top = min(low, near, far), max(high, near, far)
    room = (top - bottom) * _MARGIN

    def y_of(value: float) -> float:
        return _BASE - (value - bottom + room) / (top - bottom + 2 * room) * (_BASE - _TOP)

    inner = _band(y_of, (low, high), (near, far)) if series.law == "line" else ""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 240" role="img" font-family="sans-serif" '
        f'font-size="13" fill="#1d1f21"><title>{escape(expected_words(spec, scale))}</title>{inner}'
        + _post(_LEFT, y_of(low), y_of(high))
        + _post(_RIGHT, y_of(near), y_of(far))
        + f'<path d="M{_LEFT} {_TOP}V{_BASE}H{_RIGHT}" fill="none" stroke="#1d1f21"/>'
        + _text(_LEFT - 10, (y_of(low) + y_of(high)) / 2 + 4, _range(scale, low, high), "end")
        + _text(_RIGHT + 10, y_of(near) + 4, scale.number(near), "start")
        + _text(_RIGHT + 10, y_of(far) + 4, "and further" if limit is None else scale.number(far), "start")
        + _text(_LEFT, _TOP - 6, f"{spec.quantity}, {scale.symbol}", "start")
        + _text(
            (_LEFT + _RIGHT) / 2, _BASE + 22, f"{series.stimulus_quantity}, further from zero →", "middle"
        )
        + "</svg>"
    )


def expected_words(spec: ReadingSpec, scale: Scale) -> str:
    """Return what the drawing shows, in words."""
    series = spec.series
    assert series is not None and series.start is not None
    begins = _range(scale, *series.start)
    moves = scale.difference(series.span, 4)
    return (
        f"It begins at {begins} {scale.symbol} and {series.direction} by {moves} {scale.symbol} or more as "
        f"the {series.stimulus_quantity} goes further from zero."
    )


def _band(y_of: Callable[[float], float], start: tuple[float, float], end: tuple[float, float]) -> str:
    (low, high), (near, far) = start, end
    far_end = sorted((near, far))
    corners = [(_LEFT, low), (_LEFT, high), (_RIGHT, far_end[1]), (_RIGHT, far_end[0])]
    points = " ".join(f"{x:.0f},{y_of(value):.1f}" for x, value in corners)
    return f'<polygon points="{points}" fill="#e6e2d8"/>'


def _post(x: float, one: float, other: float) -> str:
    return f'<path d="M{x} {one:.1f}V{other:.1f}" stroke="#1f5b3a" stroke-width="7"/>'


def _range(scale: Scale, low: float, high: float) -> str:
    return f"{scale.number(low)} to {scale.number(high)}"


def _text(x: float, y: float, text: str, anchor: str) -> str:
    return f'<text x="{x:.0f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'
