"""What was learned from closed cases, and how good the confidences were, as text, JSON and SVG."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from proveout.learn.layer import Change, Learned
from proveout.learn.scoring import Scores
from proveout.show.figures import wrapped

#: With fewer forecasts than this, calibration says little.
FEW = 30
_SIZE, _MARGIN = 320, 40


def _change_line(change: Change) -> str:
    what = f"{change.entry} {change.cause} {change.state}".strip()
    return f"{what}: {change.before:.4g} to {change.after:.4g}; {change}"


def _score_lines(scores: Mapping[str, Scores]) -> list[str]:
    lines = [f"  {'family':<22} {'cases':>6} {'Brier':>7} {'calib.':>7} {'log loss':>9}"]
    for family, score in scores.items():
        few = "  (too few to say much)" if score.count < FEW else ""
        lines.append(
            f"  {family:<22} {score.count:>6} {score.brier:>7.4f} {score.calibration_error:>7.4f} "
            f"{score.log_loss:>9.4f}{few}"
        )
    return lines


def learned_text(learned: Learned, scores: Mapping[str, Scores], width: int = 80) -> str:
    """Return what was learned, every figure with its counts."""
    lines = [f"{learned.jobs} closed cases count"]
    lines += [f"  left out: {number} ({reason})" for reason, number in sorted(learned.left_out.items())]
    if scores:
        lines += ["", "How good the confidence of the leading cause was", *_score_lines(scores)]
    for title, changes in (
        ("Base rates that moved", learned.base_rates),
        ("Frequencies that moved", learned.frequencies),
    ):
        if changes:
            lines += ["", title]
        for change in changes:
            lines += wrapped(_change_line(change), width, "  ", "    ")
    for warning in learned.warnings:
        lines += ["", *wrapped(f"Careful: {warning}", width)]
    return "\n".join(lines)


def _change_document(change: Change) -> dict[str, Any]:
    return {
        "entry": change.entry,
        "cause": change.cause,
        "state": change.state,
        "before": round(change.before, 9),
        "after": round(change.after, 9),
        "low": round(change.low, 9),
        "high": round(change.high, 9),
        "hits": round(change.hits, 9),
        "trials": round(change.trials, 9),
        "weight": round(change.weight, 9),
    }


def learned_document(learned: Learned, scores: Mapping[str, Scores], difference: str) -> dict[str, Any]:
    """Return what was learned as a document of schema ``proveout/learned/1``."""
    return {
        "schema": "proveout/learned/1",
        "jobs": learned.jobs,
        "left_out": dict(sorted(learned.left_out.items())),
        "base_rates": [_change_document(change) for change in learned.base_rates],
        "frequencies": [_change_document(change) for change in learned.frequencies],
        "warnings": list(learned.warnings),
        "scores": {
            family: {
                "count": score.count,
                "brier": round(score.brier, 9),
                "reliability": round(score.reliability, 9),
                "resolution": round(score.resolution, 9),
                "uncertainty": round(score.uncertainty, 9),
                "calibration_error": round(score.calibration_error, 9),
                "log_loss": round(score.log_loss, 9),
            }
            for family, score in scores.items()
        },
        "difference": difference,
    }


def _point(x: float, y: float) -> str:
    return f"{_MARGIN + x * _SIZE:.1f},{_MARGIN + (1 - y) * _SIZE:.1f}"


def reliability_svg(scores: Mapping[str, Scores]) -> str:
    """Draw the confidence given against how often it came true, all families together; a dot a bin."""
    whole = _SIZE + 2 * _MARGIN
    bins = [item for score in scores.values() for item in score.bins if item.count]
    most = max((item.count for item in bins), default=1)
    dots = [
        f'<circle cx="{_point(item.forecast, item.came_true).split(",")[0]}" '
        f'cy="{_point(item.forecast, item.came_true).split(",")[1]}" '
        f'r="{3 + 7 * (item.count / most) ** 0.5:.1f}" fill="none" stroke="#333"/>'
        for item in bins
    ]
    corners = " ".join(_point(x, y) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1)))
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {whole} {whole}" '
            'font-family="sans-serif" font-size="12">',
            "<title>Confidence given against how often it came true</title>",
            f'<polygon points="{corners}" fill="none" stroke="#999"/>',
            f'<polyline points="{_point(0, 0)} {_point(1, 1)}" stroke="#999" stroke-dasharray="4 4"/>',
            *dots,
            f'<text x="{whole / 2}" y="{whole - 8}" text-anchor="middle">confidence given</text>',
            f'<text x="14" y="{whole / 2}" text-anchor="middle" '
            f'transform="rotate(-90 14 {whole / 2})">came true</text>',
            "</svg>",
            "",
        ]
    )
