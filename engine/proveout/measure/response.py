"""What a stimulus-response series shows, in numbers: gain, offset, noise, hysteresis, drop-outs."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from msgspec import Struct

from proveout.measure.laws import LAWS, Law
from proveout.measure.lines import Fit, least_squares, median, robust_line

#: Two stimuli closer than this part of the whole stretch count as the same.
SAME = 0.02

#: A point this many times the accepted noise off the robust line is a drop-out.
_WILD = 4.0


class NoLineError(ValueError):
    """Stimuli so much alike that they determine no line."""


class Response(Struct, frozen=True):
    """What a series shows. Figures are in the response's unit; the gain per unit of (straightened) stimulus.

    Attributes:
        gain, offset: the robust line in straightened figures.
        start, u_start: response at zero stimulus and its random standard uncertainty.
        change, u_change: fitted change over the whole stretch, positive when the response rises with the
            distance of the stimulus from zero.
        noise: scatter about the law, hysteresis taken out.
        free: degrees of freedom behind the noise.
        hysteresis, u_hysteresis: response while the stimulus shrinks minus while it grows.
        repeat: largest difference at about the same stimulus that hysteresis does not explain.
        middle: median response.
        u_gain: standard uncertainty of the gain.
        wild: indices of drop-outs.
    """

    gain: float
    offset: float
    start: float
    u_start: float
    change: float
    u_change: float
    noise: float
    free: int
    hysteresis: float
    u_hysteresis: float
    repeat: float
    middle: float
    u_gain: float
    wild: tuple[int, ...]


def directions(xs: Sequence[float]) -> tuple[int, ...]:
    """Say for each point whether the stimulus grew (1) or shrank (-1) to get there; first as second."""
    signs: list[int] = []
    for before, now in itertools.pairwise(xs):
        signs.append((now > before) - (now < before) or (signs[-1] if signs else 0))
    first = next((sign for sign in signs if sign), 1)
    return (first, *(sign or first for sign in signs))


def respond(xs: Sequence[float], ys: Sequence[float], law: str, noise_limit: float, least: float) -> Response:
    """Fit the law and measure what departs from it.

    Args:
        xs: distance of the stimulus from zero, in the order taken; not all the same.
        ys: responses.
        law: key of ``LAWS``.
        noise_limit: accepted scatter; drop-outs are told by it.
        least: repeatability of the meter, the least noise that is credible.

    Raises:
        NoLineError: the stimuli hardly differ.
    """
    straight = LAWS[law]
    us, vs = [straight.x(x) for x in xs], [straight.y(y) for y in ys]
    slopes = [_slope(straight, v) for v in vs]
    low, high = min(us), max(us)
    gain, offset = robust_line(us, vs)
    local = median(slopes)
    fit, hysteresis, u_hysteresis = _best(us, vs, directions(xs))
    residuals = [r * slope for r, slope in zip(fit.residuals, slopes, strict=True)]
    noise = math.sqrt(math.fsum(r * r for r in residuals) / fit.free)
    credible = max(noise, least)
    wild = [
        abs((v - offset - gain * u) * s) > _WILD * max(noise_limit, least)
        for u, v, s in zip(us, vs, slopes, strict=True)
    ]
    zero = straight.x(0.0)
    start, u_start = _start(xs, ys, (straight.back(offset + gain * zero), credible * _reach(us, zero)), least)
    change = straight.back(offset + gain * high) - straight.back(offset + gain * low)
    return Response(
        gain, offset, start, u_start, change, credible * fit.spread[1] * (high - low), noise, fit.free,
        hysteresis * local, max(u_hysteresis * local, least * fit.spread[-1] if len(fit.spread) > 2 else 0.0),
        _largest_difference(us, residuals), median(ys), credible * fit.spread[1] / max(local, 1e-300),
        tuple(i for i, is_wild in enumerate(wild) if is_wild),
    )  # fmt: skip


def _slope(law: Law, v: float) -> float:
    """Return the change of the response for a small change of its straightened form."""
    step = 1e-6 * (abs(v) + 1e-3)
    return abs(law.back(v + step) - law.back(v - step)) / (2.0 * step)


def _best(us: Sequence[float], vs: Sequence[float], signs: Sequence[int]) -> tuple[Fit, float, float]:
    """Fit a line, with and without hysteresis; keep the fit that leaves the least noise.

    Hysteresis is tried in the shapes of ``_SHAPES``.
    """
    ones = [1.0] * len(us)
    plain = least_squares([ones, us], vs)
    if plain is None:
        raise NoLineError("a line needs three points at stimuli that differ")
    best, size, u_size = plain, 0.0, 0.0
    if min(signs.count(1), signs.count(-1)) < 2:
        return best, size, u_size
    low, high = min(us), max(us)
    for shape, out, back in _SHAPES:
        column = [
            (out if sign > 0 else back) * shape((u - low) / (high - low))
            for u, sign in zip(us, signs, strict=True)
        ]
        fit = least_squares([ones, us, column], vs)
        if fit is not None and fit.noise < best.noise:
            best, size, u_size = fit, fit.coefficients[2], fit.noise * fit.spread[2]
    return best, size, u_size


def _constant(_: float) -> float:
    return 1.0


def _loop(t: float) -> float:
    return 4.0 * t * (1.0 - t)


#: Hysteresis: how it goes with the share of the stretch, and its share on the way out and on the way back. A
#: constant difference is stiction; a loop closes at both ends.
_SHAPES = ((_constant, -0.5, 0.5), (_loop, -0.5, 0.5), (_loop, 0.0, 1.0), (_loop, -1.0, 0.0))


def _reach(us: Sequence[float], zero: float) -> float:
    """Return the factor by which noise grows when the line is read at zero stimulus."""
    mean = math.fsum(us) / len(us)
    return math.sqrt(1.0 / len(us) + (zero - mean) ** 2 / math.fsum((u - mean) ** 2 for u in us))


def _start(
    xs: Sequence[float], ys: Sequence[float], fitted: tuple[float, float], least: float
) -> tuple[float, float]:
    """Return the response at zero stimulus and its random uncertainty: as measured there, else as fitted."""
    near = SAME * (max(xs) - min(xs))
    there = [y for x, y in zip(xs, ys, strict=True) if abs(x) <= near]
    return (median(there), least / math.sqrt(len(there))) if there else fitted


def _largest_difference(us: Sequence[float], residuals: Sequence[float]) -> float:
    """Return the largest difference of two residuals at about the same stimulus; 0 where none repeats."""
    near = SAME * (max(us) - min(us))
    return max(
        (
            abs(residuals[i] - residuals[j])
            for i in range(len(us))
            for j in range(i)
            if abs(us[i] - us[j]) <= near
        ),
        default=0.0,
    )
