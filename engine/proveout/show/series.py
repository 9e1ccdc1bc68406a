"""A series of readings drawn: points with the acceptance band, for the terminal and as SVG."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from proveout.measure.display import Scale, rounded, scale_for
from proveout.measure.study import Study
from proveout.model.preference import AS_WRITTEN

#: Size of the terminal plot in characters, without its margins.
_ROWS, _COLUMNS = 14, 56
_WIDE, _HIGH, _LEFT, _LOW = 460, 260, 60, 44


@dataclass(frozen=True, slots=True)
class _Frame:
    """The stretch of both axes that is drawn."""

    left: float
    right: float
    low: float
    high: float

    def at(self, stimulus: float, response: float) -> tuple[float, float]:
        """Return a point as shares (0..1) of the frame, from its lower left corner."""
        return (
            (stimulus - self.left) / (self.right - self.left),
            (response - self.low) / (self.high - self.low),
        )


def _frame(study: Study) -> _Frame:
    stimuli = [point.stimulus for point in study.points] + [item[0] for item in study.band]
    responses = [point.response for point in study.points]
    responses += [figure for item in study.band for figure in item[1:]]
    margin = (max(responses) - min(responses)) * 0.08 or 1.0
    left, right = min(stimuli), max(stimuli)
    return _Frame(left, right if right > left else left + 1, min(responses) - margin, max(responses) + margin)


def _cell(share: tuple[float, float]) -> tuple[int, int]:
    column = round(min(max(share[0], 0.0), 1.0) * (_COLUMNS - 1))
    return _ROWS - 1 - round(min(max(share[1], 0.0), 1.0) * (_ROWS - 1)), column


def _axes(study: Study, frame: _Frame, display: str) -> tuple[Scale, Scale]:
    """Return the scales of both axes; turning a unit only changes what their ends are labelled with."""
    across = max(frame.left, frame.right, key=abs)
    up = max(frame.low, frame.high, key=abs)
    return scale_for(study.stimulus_unit, across, display), scale_for(study.response_unit, up, display)


def _label(scale: Scale, value: float) -> str:
    return rounded(scale.turned(value), 3)


def series_text(study: Study, display: str = AS_WRITTEN) -> str:
    """Draw a series in characters: dots for the accepted band, o for a point, x for a drop-out."""
    frame = _frame(study)
    across, up = _axes(study, frame, display)
    grid = [[" "] * _COLUMNS for _ in range(_ROWS)]
    for stimulus, low, _, high in study.band:
        for response in (low, high):
            row, column = _cell(frame.at(stimulus, response))
            grid[row][column] = "."
    for point in study.points:
        row, column = _cell(frame.at(point.stimulus, point.response))
        grid[row][column] = "x" if point.drop_out else "o"
    labels = {0: _label(up, frame.high), _ROWS - 1: _label(up, frame.low)}
    lines = [f"{labels.get(row, ''):>8} |{''.join(cells).rstrip()}" for row, cells in enumerate(grid)]
    ends = f"{_label(across, frame.left)} {across.symbol}"
    far = f"{_label(across, frame.right)} {across.symbol}"
    return "\n".join(
        [
            f"{up.symbol:>8}",
            *lines,
            " " * 9 + "+" + "-" * _COLUMNS,
            f"{'':10}{ends}{far:>{_COLUMNS - len(ends)}}",
        ]
    )


def _svg_point(frame: _Frame, stimulus: float, response: float) -> tuple[str, str]:
    x, y = frame.at(stimulus, response)
    return f"{_LEFT + x * _WIDE:.1f}", f"{10 + (1 - y) * _HIGH:.1f}"


def _line(frame: _Frame, pairs: Sequence[tuple[float, float]]) -> str:
    return " ".join(",".join(_svg_point(frame, *pair)) for pair in pairs)


def series_svg(study: Study, title: str, display: str = AS_WRITTEN) -> str:
    """Draw a series as SVG: accepted band as an area, fitted law as a line, points as rings and crosses."""
    frame = _frame(study)
    across, up = _axes(study, frame, display)
    band = [(s, low) for s, low, _, _ in study.band] + [(s, high) for s, _, _, high in reversed(study.band)]
    marks = []
    for point in study.points:
        x, y = _svg_point(frame, point.stimulus, point.response)
        if point.drop_out:
            marks.append(f'<text x="{x}" y="{y}" text-anchor="middle" dominant-baseline="central">×</text>')
        else:
            marks.append(f'<circle cx="{x}" cy="{y}" r="4" fill="#fff" stroke="#222" stroke-width="1.5"/>')
    base = 10 + _HIGH
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE + _LEFT + 20} {base + _LOW}" '
            'font-family="sans-serif" font-size="12">',
            f"<title>{escape(title)}</title>",
            f'<polygon points="{_line(frame, band)}" fill="#e6e2d8"/>' if band else "",
            f'<polyline points="{_line(frame, [(s, mid) for s, _, mid, _ in study.band])}" fill="none" '
            'stroke="#777"/>',
            *marks,
            f'<path d="M{_LEFT} 10V{base}H{_LEFT + _WIDE}" fill="none" stroke="#222"/>',
            f'<text x="{_LEFT - 6}" y="18" text-anchor="end">{_label(up, frame.high)}</text>',
            f'<text x="{_LEFT - 6}" y="{base}" text-anchor="end">{_label(up, frame.low)}</text>',
            f'<text x="{_LEFT}" y="{base + 16}">{_label(across, frame.left)}</text>',
            f'<text x="{_LEFT + _WIDE}" y="{base + 16}" text-anchor="end">'
            f"{_label(across, frame.right)}</text>",
            f'<text x="{_LEFT + _WIDE / 2}" y="{base + 34}" text-anchor="middle">'
            f"{escape(across.symbol)}</text>",
            f'<text x="16" y="{10 + _HIGH / 2}" text-anchor="middle" '
            f'transform="rotate(-90 16 {10 + _HIGH / 2})">{escape(up.symbol)}</text>',
            "</svg>",
            "",
        ]
    )
