"""Copper wire against printed tables of American wire gauge.

Sources: a university physics table (ohm per 1000 ft at 20 degC, printed digits); a published wire resistance
table with diameters in mil (cirris.com, wire resistance calculator). The gauge formula itself is ASTM B258.
"""

from __future__ import annotations

import pytest

from proveout.physics.circuits import contact_resistance
from proveout.physics.ranges import OutsideRangeError
from proveout.physics.wire import STRANDED, wire_area, wire_diameter, wire_drop, wire_resistance

FOOT, MIL = 0.3048, 0.0254

PER_1000_FEET = [
    (10, 0.9989), (12, 1.588), (14, 2.525), (16, 4.016), (18, 6.385), (20, 10.15), (22, 16.14), (24, 25.67),
    (26, 40.81), (28, 64.90), (30, 103.2),
]  # fmt: skip
MILS = [
    (12, 80.808), (14, 64.084), (16, 50.820), (18, 40.303), (20, 31.961), (22, 25.347), (24, 20.100),
    (26, 15.940), (28, 12.641), (30, 10.025),
]  # fmt: skip


@pytest.mark.parametrize(("gauge", "ohms"), PER_1000_FEET)
def test_resistance(gauge: int, ohms: float) -> None:
    assert wire_resistance(gauge) * 1000.0 * FOOT == pytest.approx(ohms, rel=6e-4)


@pytest.mark.parametrize(("gauge", "mils"), MILS)
def test_diameter(gauge: int, mils: float) -> None:
    assert wire_diameter(gauge) / MIL == pytest.approx(mils, rel=1e-4)


def test_anchors_of_the_gauge() -> None:
    """By definition 36 AWG is 5 mil and 4/0 is 460 mil (ASTM B258, from memory)."""
    assert wire_diameter(36) / MIL == pytest.approx(5.0)
    assert wire_diameter(-3) / MIL == pytest.approx(460.0)
    assert wire_area(0) == pytest.approx(53.48, abs=0.01)


def test_temperature() -> None:
    """+0.393 % per kelvin (IACS): at 80 degC 1.236 times as much."""
    assert wire_resistance(18, 80.0) / wire_resistance(18) == pytest.approx(1.236, abs=0.0005)


def test_stranded_wire() -> None:
    """A printed table gives 6.636 ohm per 1000 ft for 7 strands of 18 AWG against 6.385 solid."""
    assert wire_resistance(18, 20.0, STRANDED) * 1000.0 * FOOT == pytest.approx(6.636, rel=2e-3)


def test_drop() -> None:
    """5 m of 18 AWG at 8 A lose 0.838 V, which a resistance check of 0.1 ohm would hide."""
    assert wire_drop(8.0, 5.0, 18) == pytest.approx(0.838, abs=0.0005)
    assert contact_resistance(0.8, 8.0) == pytest.approx(0.1)


@pytest.mark.parametrize("gauge", [-4, 41])
def test_refused_outside(gauge: int) -> None:
    with pytest.raises(OutsideRangeError):
        wire_diameter(gauge)
