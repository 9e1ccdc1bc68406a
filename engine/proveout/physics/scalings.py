"""Data bytes of services 01 and 02 as physical values.

Source: SAE J1979 / ISO 15031-5 scalings, checked against two independent public statements of the formulas.
Where those two disagree, or the standard was not seen, the entry says so. The readiness word (data item 01)
is no scaling; it is read where readiness is judged.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from proveout.physics.ranges import OutsideRangeError

Bytes = Sequence[int]


@dataclass(frozen=True, slots=True)
class Scaling:
    """One value of a data item: its name, unit, number of bytes used from the item, and the formula."""

    name: str
    unit: str
    length: int
    value: Callable[[Bytes], float]
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Scaled:
    """A decoded value."""

    name: str
    value: float
    unit: str
    remark: str = ""


def _word(d: Bytes, at: int = 0) -> int:
    return 256 * d[at] + d[at + 1]


def _signed(d: Bytes) -> int:
    """Read two bytes in two's complement."""
    return _word(d) - 65536 if d[0] & 0x80 else _word(d)


def _share(d: Bytes) -> float:
    return d[0] * 100.0 / 255.0


def _trim(d: Bytes, at: int = 0) -> float:
    return d[at] * 100.0 / 128.0 - 100.0


def _celsius(d: Bytes) -> float:
    return d[0] - 40.0


def _ratio(d: Bytes) -> float:
    return _word(d) * 2.0 / 65536.0


_TRIMS = {
    0x06: "short trim, bank 1",
    0x07: "long trim, bank 1",
    0x08: "short trim, bank 2",
    0x09: "long trim, bank 2",
}


def _narrow(item: int) -> tuple[Scaling, ...]:
    """Oxygen sensor voltage with its trim; a trim byte of FF means that the sensor is not used for trim."""
    sensor = f"oxygen sensor {item - 0x13}"
    return (
        Scaling(f"{sensor} voltage", "V", 1, lambda d: d[0] / 200.0),
        Scaling(f"{sensor} trim", "%", 2, lambda d: _trim(d, 1), "FF: not used in trim"),
    )


def _wide(item: int, first: int, volts: bool) -> tuple[Scaling, ...]:
    """Wide-range sensor: equivalence ratio with a voltage or a pumping current."""
    sensor = f"wide-range sensor {item - first + 1}"
    ratio = Scaling(f"{sensor} equivalence ratio", "1", 2, _ratio)
    if volts:
        return ratio, Scaling(f"{sensor} voltage", "V", 4, lambda d: _word(d, 2) * 8.0 / 65536.0)
    return ratio, Scaling(f"{sensor} current", "mA", 4, lambda d: d[2] - 128.0 + d[3] / 256.0)


def _one(
    name: str, unit: str, length: int, value: Callable[[Bytes], float], remark: str = ""
) -> tuple[Scaling, ...]:
    return (Scaling(name, unit, length, value, remark),)


_PASCAL = "pascal, two's complement; a public decoder that prints kPa is a thousand times too high for a tank"

#: Data item to the values in it.
SCALINGS: Mapping[int, tuple[Scaling, ...]] = {
    0x04: _one("calculated load", "%", 1, _share),
    0x05: _one("coolant temperature", "degC", 1, _celsius),
    **{item: _one(name, "%", 1, _trim) for item, name in _TRIMS.items()},
    0x0A: _one("fuel pressure, gauge", "kPa", 1, lambda d: 3.0 * d[0]),
    0x0B: _one("manifold pressure, absolute", "kPa", 1, lambda d: float(d[0])),
    0x0C: _one("engine speed", "rpm", 2, lambda d: _word(d) / 4.0),
    0x0D: _one("vehicle speed", "km/h", 1, lambda d: float(d[0])),
    0x0E: _one("ignition timing before top dead centre", "deg", 1, lambda d: d[0] / 2.0 - 64.0),
    0x0F: _one("intake air temperature", "degC", 1, _celsius),
    0x10: _one("air mass flow", "g/s", 2, lambda d: _word(d) / 100.0),
    0x11: _one("throttle position", "%", 1, _share),
    **{item: _narrow(item) for item in range(0x14, 0x1C)},
    0x22: _one("rail pressure above manifold pressure", "kPa", 2, lambda d: 0.079 * _word(d)),
    0x23: _one("rail pressure, gauge", "kPa", 2, lambda d: 10.0 * _word(d)),
    **{item: _wide(item, 0x24, volts=True) for item in range(0x24, 0x2C)},
    0x2E: _one("commanded purge", "%", 1, _share),
    0x2F: _one("fuel level", "%", 1, _share),
    0x32: _one("evap vapour pressure", "Pa", 2, lambda d: _signed(d) / 4.0, _PASCAL),
    0x33: _one("barometric pressure", "kPa", 1, lambda d: float(d[0])),
    **{item: _wide(item, 0x34, volts=False) for item in range(0x34, 0x3C)},
    **{
        item: _one(f"catalyst temperature {item - 0x3B}", "degC", 2, lambda d: _word(d) / 10.0 - 40.0)
        for item in range(0x3C, 0x40)
    },
    0x42: _one("control module voltage", "V", 2, lambda d: _word(d) / 1000.0),
    0x43: _one("absolute load", "%", 2, lambda d: _word(d) * 100.0 / 255.0, "may exceed 100"),
    0x44: _one("commanded equivalence ratio", "1", 2, _ratio),
    0x46: _one("ambient air temperature", "degC", 1, _celsius),
    0x53: _one("evap pressure, absolute", "kPa", 2, lambda d: _word(d) / 200.0),
    0x59: _one("rail pressure, absolute", "kPa", 2, lambda d: 10.0 * _word(d)),
    0x5E: _one("fuel rate", "L/h", 2, lambda d: _word(d) / 20.0),
}

#: Items that public sources decode in ways that differ widely.
_DISPUTED = {
    0x54: "two's complement and an offset of 32767 both circulate for it; see the vehicle's document"
}


def scaled(item: int, data: Bytes) -> tuple[Scaled, ...]:
    """Decode the values of a data item, as far as the bytes reach; a trim byte of FF is left out.

    Raises:
        OutsideRangeError: the item is not known or disputed, a byte is no byte, or too few are given.
    """
    if item not in SCALINGS:
        raise OutsideRangeError(
            "data item", float(item), 4, 0x5E, "", _DISPUTED.get(item, "not a known item")
        )
    if any(not 0 <= byte <= 255 for byte in data):
        raise OutsideRangeError("byte", float(max(data, key=abs)), 0, 255, "")
    first = SCALINGS[item][0]
    if len(data) < first.length:
        raise OutsideRangeError("bytes", float(len(data)), first.length, 4, "", f"{first.name} needs them")
    values = [
        entry for entry in SCALINGS[item] if len(data) >= entry.length and not _unused(item, entry, data)
    ]
    return tuple(Scaled(entry.name, entry.value(data), entry.unit, entry.remark) for entry in values)


def _unused(item: int, entry: Scaling, data: Bytes) -> bool:
    """Say whether a narrow-band sensor reports that it takes no part in trim."""
    return 0x14 <= item <= 0x1B and entry.length == 2 and data[1] == 0xFF
