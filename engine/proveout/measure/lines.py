"""Straight lines through few points: least squares with uncertainty, and a robust line. Plain floats."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct


class Fit(Struct, frozen=True):
    """A linear least-squares fit.

    Attributes:
        coefficients: one a column.
        spread: square roots of the diagonal of the inverse normal matrix; times the noise they are the
            standard uncertainties of the coefficients.
        residuals: measured minus fitted.
        noise: standard deviation of the residuals for the degrees of freedom left.
        free: degrees of freedom left.
    """

    coefficients: tuple[float, ...]
    spread: tuple[float, ...]
    residuals: tuple[float, ...]
    noise: float
    free: int


def least_squares(columns: Sequence[Sequence[float]], ys: Sequence[float]) -> Fit | None:
    """Fit ``ys`` by a sum of columns; None where they are not independent or no freedom is left.

    Source: any text on linear regression; the normal equations serve for two or three scaled columns.
    """
    size, free = len(columns), len(ys) - len(columns)
    scales = [math.sqrt(sum(x * x for x in column)) for column in columns]
    if free < 1 or min(scales) == 0.0:
        return None
    scaled = [[x / scale for x in column] for column, scale in zip(columns, scales, strict=True)]
    normal = [[math.fsum(a * b for a, b in zip(p, q, strict=True)) for q in scaled] for p in scaled]
    inverse = _inverse(normal)
    if inverse is None:
        return None
    moments = [math.fsum(a * y for a, y in zip(column, ys, strict=True)) for column in scaled]
    solution = [sum(inverse[i][j] * moments[j] for j in range(size)) / scales[i] for i in range(size)]
    fitted = [sum(c * column[k] for c, column in zip(solution, columns, strict=True)) for k in range(len(ys))]
    residuals = tuple(y - f for y, f in zip(ys, fitted, strict=True))
    spread = tuple(math.sqrt(max(inverse[i][i], 0.0)) / scales[i] for i in range(size))
    noise = math.sqrt(math.fsum(r * r for r in residuals) / free)
    return Fit(tuple(solution), spread, residuals, noise, free)


def _inverse(matrix: Sequence[Sequence[float]]) -> list[list[float]] | None:
    """Invert a small matrix by Gauss-Jordan elimination with pivoting; None where it is singular."""
    size = len(matrix)
    rows = [[*row, *(1.0 if i == j else 0.0 for j in range(size))] for i, row in enumerate(matrix)]
    for column in range(size):
        pivot = max(range(column, size), key=lambda i: abs(rows[i][column]))
        if abs(rows[pivot][column]) < 1e-12:
            return None
        rows[column], rows[pivot] = rows[pivot], rows[column]
        head = rows[column][column]
        rows[column] = [x / head for x in rows[column]]
        for i in range(size):
            if i != column:
                factor = rows[i][column]
                rows[i] = [x - factor * y for x, y in zip(rows[i], rows[column], strict=True)]
    return [row[size:] for row in rows]


def median(values: Sequence[float]) -> float:
    """Return the median of a non-empty sequence."""
    ordered = sorted(values)
    middle = len(ordered) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2


def robust_line(xs: Sequence[float], ys: Sequence[float]) -> tuple[float, float]:
    """Return (gain, offset) as medians of all pairwise slopes and of what they leave (Theil 1950, Sen 1968).

    Up to 29 % of the points can be wild without moving it far. All xs equal: gain 0.
    """
    slopes = [
        (ys[j] - ys[i]) / (xs[j] - xs[i])
        for i in range(len(xs))
        for j in range(i + 1, len(xs))
        if xs[j] != xs[i]
    ]
    gain = median(slopes) if slopes else 0.0
    return gain, median([y - gain * x for x, y in zip(xs, ys, strict=True)])
