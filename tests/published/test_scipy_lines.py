"""Lines through few points against scipy and numpy."""

from __future__ import annotations

import numpy as np
import pytest
import scipy
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from proveout.measure.lines import least_squares, robust_line

XS = [0.0, 0.6, 1.2, 1.8, 2.4, 1.8, 1.2, 0.6, 0.1]
RESPONSES = st.lists(st.floats(-10, 10), min_size=len(XS), max_size=len(XS))


@settings(max_examples=60, deadline=None)
@given(RESPONSES)
def test_least_squares_line(ys: list[float]) -> None:
    fit = least_squares([[1.0] * len(XS), XS], ys)
    assert fit is not None
    assume(max(ys) > min(ys) + 1e-6)  # scipy gives no standard errors for a constant
    other = scipy.stats.linregress(XS, ys)
    assert fit.coefficients == pytest.approx((other.intercept, other.slope), abs=1e-9)
    assert fit.noise * fit.spread[1] == pytest.approx(other.stderr, abs=1e-7)
    assert fit.noise * fit.spread[0] == pytest.approx(other.intercept_stderr, abs=1e-7)


@settings(max_examples=60, deadline=None)
@given(RESPONSES)
def test_least_squares_of_three_columns(ys: list[float]) -> None:
    columns = [[1.0] * len(XS), XS, [0.5, 0.5, 0.5, 0.5, 0.5, -0.5, -0.5, -0.5, -0.5]]
    fit = least_squares(columns, ys)
    assert fit is not None
    other, squares, *_ = np.linalg.lstsq(np.array(columns).T, np.array(ys), rcond=None)
    assert fit.coefficients == pytest.approx(tuple(other), abs=1e-9)
    assert fit.noise**2 * fit.free == pytest.approx(float(squares[0]), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(RESPONSES)
def test_robust_line(ys: list[float]) -> None:
    """Theil 1950, Sen 1968; scipy's intercept is defined otherwise, so only the slope is compared."""
    gain, offset = robust_line(XS, ys)
    assert gain == pytest.approx(scipy.stats.theilslopes(ys, XS).slope, abs=1e-9)
    joint = scipy.stats.theilslopes(ys, XS, method="joint")
    assert offset == pytest.approx(joint.intercept, abs=1e-9)


def test_no_line() -> None:
    assert least_squares([[1.0, 1.0, 1.0], [2.0, 2.0, 2.0]], [1.0, 2.0, 3.0]) is None
    assert least_squares([[1.0, 1.0], [0.0, 1.0]], [1.0, 2.0]) is None
