"""What a series of readings is expected to look like: where it begins, and how far it must move."""

from __future__ import annotations

from html import escape

from msgspec import Struct

from proveout.measure.display import Scale, scale_of, unit_sign
from proveout.model.preference import AS_WRITTEN
from proveout.model.specs import ReadingSpec
from proveout.show.scene import WIDE

#: Size of the picture, and of the plot in it.
_ACROSS, _HIGH = 342, 236
_LEFT, _RIGHT, _TOP, _BASE = 92, 270, 34, 190
#: Size of the plain text: rows and columns of the plot.
_ROWS, _COLUMNS = 9, 16
#: Share of the height kept free above and below what is drawn.
_MARGIN = 0.08


class Curve(Struct, frozen=True):
    """What is expected of a series.

    Attributes:
        start: accepted responses at zero stimulus, low and high.
        end: the same at the far end: what is just good enough, and how far it may go; low and high.
        near: which of the two ends of ``end`` is just good enough.
        open_end: whether it may go further than the far end of ``end``.
        straight: whether the band between the two is known.
        words: what the picture shows.
        upright, across: what the axes are called.
        scale: units of the responses.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    near: float
    open_end: bool
    straight: bool
    words: str
    upright: str
    across: str
    scale: Scale

    def share(self, value: float) -> float:
        """Return how high up a response is drawn, 0 to 1."""
        low, high = min(self.start[0], self.end[0]), max(self.start[1], self.end[1])
        room = (high - low) * _MARGIN
        return (value - low + room) / (high - low + 2 * room)

    def begins(self) -> str:
        """Return the label of the beginning."""
        return f"{self.scale.number(self.start[0])} to {self.scale.number(self.start[1])}"

    def far(self) -> str:
        """Return the label of the end that lies further."""
        further = self.end[0] if self.near == self.end[1] else self.end[1]
        return "and further" if self.open_end else self.scale.number(further)


def curve_of(spec: ReadingSpec, display: str = AS_WRITTEN) -> Curve | None:
    """Return what is expected of a reading that is a series with a known beginning; None of any other.

    Of a straight law the band lies between a beginning and an end that are just good enough; of a curved one
    only beginning and end are known. Further is good, too, as far as the limits of the circuit.
    """
    series = spec.series
    if series is None or series.start is None:
        return None
    low, high = series.start
    sign = 1.0 if series.direction == "rises" else -1.0
    near = (low if sign > 0 else high) + sign * series.span
    limit = series.high_end if sign > 0 else series.low_end
    far = limit if limit is not None else near + sign * series.span
    scale = scale_of(spec, display)
    begins = f"{scale.number(low)} to {scale.number(high)} {scale.symbol}"
    zero = f"0 {unit_sign(series.stimulus_unit)}"
    # a vacuum goes down from zero, a temperature or a share goes up
    away = f"moves away from {zero}" if series.stimulus_quantity == "pressure" else f"rises from {zero}"
    words = (
        f"At {zero} it is {begins}, and it {series.direction} by {scale.difference(series.span, 4)} "
        f"{scale.symbol} or more as the {series.stimulus_quantity} {away}."
    )
    return Curve(
        start=(low, high),
        end=(min(near, far), max(near, far)),
        near=near,
        open_end=limit is None,
        straight=series.law == "line",
        words=words,
        upright=f"{spec.quantity}, {scale.symbol}",
        across=f"{series.stimulus_quantity}, from {zero}",
        scale=scale,
    )


def curve_svg(curve: Curve) -> str:
    """Return the picture of a curve with its band."""
    low, high = (_y(curve, value) for value in curve.start)
    end_low, end_high = (_y(curve, value) for value in curve.end)
    corners = f"{_LEFT},{low:.1f} {_LEFT},{high:.1f} {_RIGHT},{end_high:.1f} {_RIGHT},{end_low:.1f}"
    band = f'<polygon points="{corners}" fill="#e6e2d8"/>' if curve.straight else ""
    near = _y(curve, curve.near)
    far = end_low if near == end_high else end_high
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_ACROSS} {_HIGH}" '
        f'width="{_ACROSS}" height="{_HIGH}" role="img" '
        f'font-family="sans-serif" font-size="12.5" fill="#1d1f21">'
        f"<title>{escape(curve.words)}</title>{band}"
        + _post(_LEFT, low, high)
        + _post(_RIGHT, end_low, end_high)
        + f'<path d="M{_LEFT} {_TOP}V{_BASE}H{_RIGHT}" fill="none" stroke="#1d1f21"/>'
        + _text(_LEFT - 8, (low + high) / 2 + 4, curve.begins(), "end")
        + _text(_RIGHT + 8, near + 4, curve.scale.number(curve.near), "start")
        + _text(_RIGHT + 8, far + 4, curve.far(), "start")
        + _text(_LEFT, _TOP - 14, curve.upright, "start")
        + _text((_LEFT + _RIGHT) / 2, _BASE + 22, f"{curve.across} →", "middle")
        + "</svg>"
    )


def curve_lines(curve: Curve) -> list[str]:
    """Return a curve with its band as plain text, within the width of a scene."""
    grid = [[" "] * _COLUMNS for _ in range(_ROWS)]
    for column in range(_COLUMNS):
        along = column / (_COLUMNS - 1)
        if not curve.straight and column not in (0, _COLUMNS - 1):
            continue
        ends = zip(curve.start, curve.end, strict=True)
        low, high = (curve.share(one + (other - one) * along) for one, other in ends)
        for row in range(round(low * (_ROWS - 1)), round(high * (_ROWS - 1)) + 1):
            grid[_ROWS - 1 - row][column] = "#"
    lead = len(curve.begins()) + 1
    labelled = (sum(curve.start) / 2, curve.near)
    first, last = (_ROWS - 1 - round(curve.share(value) * (_ROWS - 1)) for value in labelled)
    lines = [f"{' ' * lead}{curve.upright}"]
    for number, cells in enumerate(grid):
        label = curve.begins() if number == first else ""
        reach = f" {curve.scale.number(curve.near)}" if number == last else ""
        lines.append(f"{label:>{lead - 1}} |{''.join(cells)}{reach}".rstrip())
    lines.append(f"{' ' * lead}+{'-' * (WIDE - lead - 2)}>")
    lines.append(f"{curve.across:>{WIDE}}")
    return lines


def _y(curve: Curve, value: float) -> float:
    return _BASE - curve.share(value) * (_BASE - _TOP)


def _post(x: float, one: float, other: float) -> str:
    return f'<path d="M{x} {one:.1f}V{other:.1f}" stroke="#1f5b3a" stroke-width="7"/>'


def _text(x: float, y: float, text: str, anchor: str) -> str:
    return f'<text x="{x:.0f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'
