"""Thermistors that fall with temperature: the Beta law and the Steinhart-Hart law.

Beta: R = R0 exp(B (1/T - 1/T0)), good within some 50 K of the points it was fitted to. Steinhart and Hart
(1968): 1/T = A + B ln R + C (ln R)^3, T in kelvin, R in ohm, good to a few hundredths of a kelvin between its
points.
"""

from __future__ import annotations

import math

from proveout.physics.formula import Answer, Formula, celsius, number, ohms
from proveout.physics.ranges import OutsideRangeError, within

ZERO_C = 273.15
_COLDEST, _HOTTEST = -60.0, 250.0


def _kelvin(temperature: float) -> float:
    return within("temperature", temperature, _COLDEST, _HOTTEST, "degC") + ZERO_C


def _celsius(inverse: float) -> float:
    """Turn 1/T into degC; refuse what no thermistor in a car sees."""
    if inverse <= 0.0:
        raise OutsideRangeError("1/T", inverse, 1.0 / (_HOTTEST + ZERO_C), 1.0 / (_COLDEST + ZERO_C), "1/K")
    return within("temperature", 1.0 / inverse - ZERO_C, _COLDEST, _HOTTEST, "degC")


def _ohms(name: str, value: float) -> float:
    return within(name, value, 1e-2, 1e8, "ohm")


def beta_resistance(temperature: float, r0: float = 10000.0, t0: float = 25.0, beta: float = 3950.0) -> float:
    """Return resistance in ohm at -60 to 250 degC of a thermistor with r0 ohm at t0 degC and Beta in K."""
    within("beta", beta, 500.0, 8000.0, "K")
    return _ohms("r0", r0) * math.exp(beta * (1.0 / _kelvin(temperature) - 1.0 / _kelvin(t0)))


def beta_temperature(resistance: float, r0: float = 10000.0, t0: float = 25.0, beta: float = 3950.0) -> float:
    """Return the temperature in degC of a resistance in ohm."""
    within("beta", beta, 500.0, 8000.0, "K")
    ratio = math.log(_ohms("resistance", resistance) / _ohms("r0", r0))
    return _celsius(1.0 / _kelvin(t0) + ratio / beta)


def fit_beta(t1: float, r1: float, t2: float, r2: float) -> float:
    """Return Beta in K from two points (degC, ohm); they must differ, the colder with more ohms."""
    if abs(t1 - t2) < 1.0:
        raise OutsideRangeError("t1 - t2", t1 - t2, 1.0, 300.0, "K", "two points far enough apart")
    beta = math.log(_ohms("r1", r1) / _ohms("r2", r2)) / (1.0 / _kelvin(t1) - 1.0 / _kelvin(t2))
    return within("beta", beta, 500.0, 8000.0, "K", "the colder point has more ohms")


def steinhart_coefficients(
    t1: float, r1: float, t2: float, r2: float, t3: float, r3: float
) -> tuple[float, float, float]:
    """Return (A, B, C) through three points (degC, ohm).

    Raises:
        OutsideRangeError: two points coincide or the resistance does not fall with temperature.
    """
    points = sorted([(_kelvin(t1), r1), (_kelvin(t2), r2), (_kelvin(t3), r3)])
    inverse = [1.0 / kelvin for kelvin, _ in points]
    logs = [math.log(_ohms("resistance", r)) for _, r in points]
    for left, right in ((0, 1), (1, 2)):
        if points[right][0] - points[left][0] < 1.0 or logs[left] - logs[right] < 1e-3:
            raise OutsideRangeError(
                "resistance", points[right][1], 0.0, points[left][1], "ohm", "it falls as it warms"
            )
    g2 = (inverse[1] - inverse[0]) / (logs[1] - logs[0])
    g3 = (inverse[2] - inverse[0]) / (logs[2] - logs[0])
    c = (g3 - g2) / (logs[2] - logs[1]) / sum(logs)
    b = g2 - c * (logs[0] ** 2 + logs[0] * logs[1] + logs[1] ** 2)
    return inverse[0] - (b + logs[0] ** 2 * c) * logs[0], b, c


def steinhart_temperature(resistance: float, a: float, b: float, c: float) -> float:
    """Return the temperature in degC of a resistance in ohm under coefficients A, B, C."""
    log = math.log(_ohms("resistance", resistance))
    return _celsius(a + b * log + c * log**3)


def steinhart_resistance(temperature: float, a: float, b: float, c: float) -> float:
    """Return the resistance in ohm at a temperature in degC: the real root of the cubic (Cardano).

    Raises:
        OutsideRangeError: C is not positive, so that the closed form does not hold.
    """
    within("c", c, 1e-12, 1e-4, "1/K")
    y = (a - 1.0 / _kelvin(temperature)) / (2.0 * c)
    x = math.sqrt((b / (3.0 * c)) ** 3 + y * y)
    return _ohms("resistance", math.exp(_cube_root(x - y) - _cube_root(x + y)))


def _cube_root(value: float) -> float:
    return math.copysign(abs(value) ** (1.0 / 3.0), value)


_BETA = (
    ohms("r0", "resistance at t0", 10000.0),
    celsius("t0", "temperature of r0", 25.0),
    number("beta", "K", "Beta of the thermistor", 3950.0),
)
_COEFFICIENTS = tuple(number(name, "1/K", f"coefficient {name.upper()}") for name in "abc")
_POINTS = tuple(
    point
    for i in (1, 2, 3)
    for point in (celsius(f"t{i}", f"temperature of point {i}"), ohms(f"r{i}", f"resistance of point {i}"))
)
_STEINHART = "Steinhart and Hart 1968"

FORMULAS = (
    Formula(
        "thermistor-ohms",
        "Resistance of a thermistor (Beta)",
        beta_resistance,
        (celsius("temperature", "of the thermistor"), *_BETA),
        (Answer("resistance", "ohm"),),
        "Beta law",
    ),
    Formula(
        "thermistor-temperature",
        "Temperature of a thermistor (Beta)",
        beta_temperature,
        (ohms("resistance", "as measured"), *_BETA),
        (Answer("temperature", "degC"),),
        "Beta law",
    ),
    Formula(
        "thermistor-beta",
        "Beta of a thermistor from two points",
        fit_beta,
        _POINTS[:4],
        (Answer("Beta", "K"),),
        "Beta law",
    ),
    Formula(
        "steinhart-fit",
        "Steinhart-Hart coefficients from three points",
        steinhart_coefficients,
        _POINTS,
        (Answer("A", "1/K"), Answer("B", "1/K"), Answer("C", "1/K")),
        _STEINHART,
    ),
    Formula(
        "steinhart-temperature",
        "Temperature by Steinhart-Hart",
        steinhart_temperature,
        (ohms("resistance", "as measured"), *_COEFFICIENTS),
        (Answer("temperature", "degC"),),
        _STEINHART,
    ),
    Formula(
        "steinhart-ohms",
        "Resistance by Steinhart-Hart",
        steinhart_resistance,
        (celsius("temperature", "of the thermistor"), *_COEFFICIENTS),
        (Answer("resistance", "ohm"),),
        _STEINHART,
    ),
)
