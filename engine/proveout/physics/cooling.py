"""Where water boils under the cap's pressure.

Source: IAPWS-IF97 (2007 revision), equation 31, saturation temperature from pressure (coefficients from
memory, checked against its verification table).
"""

from __future__ import annotations

import math

from proveout.physics.formula import Answer, Formula, absolute
from proveout.physics.ranges import within

_N = (
    0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
    0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
)  # fmt: skip


def water_boiling_point(pressure: float) -> float:
    """Return the boiling point in degC of water at an absolute pressure of 1 to 10000 kPa.

    Half water, half glycol boils some 6 to 8 K higher (common practice, no source).
    """
    b: float = (within("pressure", pressure, 1.0, 10000.0, "kPa") / 1000.0) ** 0.25
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = _N
    e = b * b + n3 * b + n6
    f = n1 * b * b + n4 * b + n7
    g = n2 * b * b + n5 * b + n8
    d = 2.0 * g / (-f - math.sqrt(f * f - 4.0 * e * g))
    return (n10 + d - math.sqrt((n10 + d) ** 2 - 4.0 * (n9 + n10 * d))) / 2.0 - 273.15


FORMULAS = (
    Formula(
        "boiling-point",
        "Boiling point of water under pressure",
        water_boiling_point,
        (absolute("pressure", "kPa", "absolute pressure: that of the air plus the cap's"),),
        (Answer("boiling point", "degC"),),
        "IAPWS-IF97",
    ),
)
