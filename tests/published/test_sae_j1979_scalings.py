"""Data scalings of SAE J1979 / ISO 15031-5, services 01 and 02.

Worked values from the formulas as two public statements give them (a table of the ISO 15031 items, and the
dissector of a general-purpose network protocol analyser); conflicts between them are noted.
"""

from __future__ import annotations

import pytest

from proveout.measure.reading import read
from proveout.physics.ranges import OutsideRangeError
from proveout.physics.scalings import SCALINGS, scaled

WORKED = [
    (0x04, "33", (20.0,), "%"),
    (0x05, "7B", (83.0,), "degC"),
    (0x05, "00", (-40.0,), "degC"),
    (0x05, "FF", (215.0,), "degC"),
    (0x06, "80", (0.0,), "%"),
    (0x07, "99", (19.53125,), "%"),
    (0x08, "66", (-20.3125,), "%"),
    (0x09, "00", (-100.0,), "%"),
    (0x06, "FF", (99.21875,), "%"),
    (0x0A, "64", (300.0,), "kPa"),
    (0x0B, "23", (35.0,), "kPa"),
    (0x0C, "0BB8", (750.0,), "rpm"),
    (0x0C, "1AF8", (1726.0,), "rpm"),
    (0x0C, "FFFF", (16383.75,), "rpm"),
    (0x0D, "64", (100.0,), "km/h"),
    (0x0E, "80", (0.0,), "deg"),
    (0x0F, "28", (0.0,), "degC"),
    (0x46, "28", (0.0,), "degC"),
    (0x10, "0145", (3.25,), "g/s"),
    (0x10, "FFFF", (655.35,), "g/s"),
    (0x11, "FF", (100.0,), "%"),
    (0x14, "5A80", (0.450, 0.0), "V"),
    (0x1B, "FF80", (1.275, 0.0), "V"),
    (0x22, "0FA0", (316.0,), "kPa"),
    (0x23, "07D0", (20000.0,), "kPa"),
    (0x59, "07D0", (20000.0,), "kPa"),
    (0x24, "80002000", (1.0, 1.0), "1"),
    (0x34, "80008000", (1.0, 0.0), "1"),
    (0x2E, "FF", (100.0,), "%"),
    (0x2F, "80", (50.19607843,), "%"),
    (0x32, "FC18", (-250.0,), "Pa"),
    (0x32, "F63C", (-625.0,), "Pa"),
    (0x32, "09C4", (625.0,), "Pa"),
    (0x32, "8000", (-8192.0,), "Pa"),
    (0x32, "7FFF", (8191.75,), "Pa"),
    (0x33, "65", (101.0,), "kPa"),
    (0x3C, "1194", (410.0,), "degC"),
    (0x42, "37DC", (14.3,), "V"),
    (0x43, "0140", (125.490196,), "%"),
    (0x44, "8000", (1.0,), "1"),
    (0x53, "4F29", (101.325,), "kPa"),
    (0x53, "FFFF", (327.675,), "kPa"),
    (0x5E, "0064", (5.0,), "L/h"),
]


@pytest.mark.parametrize(("item", "data", "values", "unit"), WORKED)
def test_worked_values(item: int, data: str, values: tuple[float, ...], unit: str) -> None:
    found = scaled(item, bytes.fromhex(data))
    assert tuple(entry.value for entry in found) == pytest.approx(values)
    assert found[0].unit == unit


def test_trim_not_used() -> None:
    """A narrow-band sensor that takes no part in trim reports FF for it."""
    assert [entry.unit for entry in scaled(0x15, bytes.fromhex("5AFF"))] == ["V"]


def test_evap_pressure_is_pascal() -> None:
    """One decoder prints kPa for this item; 10 inH2O of vacuum would then be 2,491 kPa, absurd for a tank."""
    vacuum = read("10 inH2O", "pressure", "Pa", "atmosphere").middle
    raw = round(-vacuum * 4) & 0xFFFF
    assert raw.to_bytes(2).hex() == "d914"
    (entry,) = scaled(0x32, raw.to_bytes(2))
    assert entry.value == pytest.approx(-vacuum, abs=0.25)
    assert "pascal" in entry.remark


def test_absolute_load_may_exceed_100() -> None:
    (entry,) = scaled(0x43, b"\xff\xff")
    assert entry.value == 25700.0
    assert "exceed" in entry.remark


@pytest.mark.parametrize(("item", "data"), [(0x54, "FF00"), (0x01, "83076504"), (0x0C, "0B"), (0xFE, "00")])
def test_disputed_unknown_or_short_items_are_refused(item: int, data: str) -> None:
    """Item 54: two's complement and an offset of 32767 both circulate, and differ hugely."""
    with pytest.raises(OutsideRangeError):
        scaled(item, bytes.fromhex(data))


def test_bytes_are_bytes() -> None:
    with pytest.raises(OutsideRangeError):
        scaled(0x0C, [300, 2])


@pytest.mark.parametrize("item", sorted(SCALINGS))
def test_every_item_decodes_its_ends(item: int) -> None:
    length = max(entry.length for entry in SCALINGS[item])
    for data in (bytes(length), b"\xff" * length):
        assert scaled(item, data)
