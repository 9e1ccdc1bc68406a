"""Mutations of bytes, of JSON and of case files, from a seeded generator: each run can be repeated."""

from __future__ import annotations

import json
import random
from typing import Any

#: Pieces that mean something to one of the readers.
PIECES = [
    piece.encode()
    for piece in (
        ": |- |[|]|{|}|&a|*a|!!x|'|\"|>|#|é|1e999|-|OL|0x|null|true|NaN|kPa|codes|value|series|P0442|...|"
        "---\n|"
        "digest: |"
        "--|-h|--json|-|±|..|<|%|\u202e|\x1b[2J|\x00|\ufeff|\t|\n|9999999999999999999|-1|0|../|~|$|`|𝟙|\x85"
    ).split("|")
]

#: Values that some reader did not expect somewhere.
VALUES: list[Any] = [
    None,
    True,
    False,
    0,
    -1,
    1,
    2**53 - 1,
    1e300,
    -1e-300,
    0.5,
    "",
    " ",
    "x",
    "no",
    "1:30",
    "\x1b[2J",
    "\u202e",
    "P0442",
    "sensor-hose-look",
    "sound",
    "4.98 V",
    "14 mV",
    "x" * 3000,
    [],
    [[]],
    {},
    {"a": 1},
    ["P0442"] * 300,
    [None],
    {"event": 2},
]


def mutated(data: bytes, dice: random.Random) -> bytes:
    """Delete, double, move, replace or flip a few pieces."""
    for _ in range(dice.randint(1, 5)):
        start = dice.randint(0, len(data))
        end = min(len(data), start + dice.choice((0, 1, 1, 2, 8, 30)))
        piece = data[start:end]
        kind = dice.randrange(5)
        if kind == 0:
            new = dice.choice(PIECES)
        elif kind == 1:
            new = piece * 2
        elif kind == 2:
            new = b""
        elif kind == 3:
            new = bytes(byte ^ (1 << dice.randrange(8)) for byte in piece)
        else:
            other = dice.randint(0, len(data))
            new = data[other : other + dice.randint(0, 40)]
        data = data[:start] + new + data[end:]
    return data


def mutated_json(data: bytes, dice: random.Random) -> bytes:
    """Put other values, keys or items at a few places of a JSON document; of others, change bytes."""
    try:
        document = json.loads(data)
    except (ValueError, RecursionError):
        return mutated(data, dice)
    for _ in range(dice.randint(1, 3)):
        document = _changed(document, dice)
    return json.dumps(document, ensure_ascii=False).encode("utf-8", "surrogatepass")


def _changed(value: Any, dice: random.Random) -> Any:
    """Change one place in a value, the deeper the rarer the higher ones."""
    if isinstance(value, dict) and value and dice.random() < 0.85:
        key = dice.choice(list(value))
        what = dice.random()
        if what < 0.1:
            return {name: inner for name, inner in value.items() if name != key}
        if what < 0.2:
            return {**value, dice.choice([*value, "x", "adds", "event", "readings"]): dice.choice(VALUES)}
        return {**value, key: _changed(value[key], dice)}
    if isinstance(value, list) and value and dice.random() < 0.85:
        at = dice.randrange(len(value))
        what = dice.random()
        if what < 0.1:
            return value[:at] + value[at + 1 :]
        if what < 0.2:
            return [*value[: at + 1], *value[at:]]
        return [*value[:at], _changed(value[at], dice), *value[at + 1 :]]
    if isinstance(value, int | float) and dice.random() < 0.6:
        try:
            return dice.choice((value + 1, value * 10, value / 7, -value, round(value), value * 1e9))
        except OverflowError:  # an infinity, or too many digits
            return 0
    if isinstance(value, str) and dice.random() < 0.3:
        return mutated(value.encode("utf-8", "replace"), dice).decode("utf-8", "replace")
    return dice.choice(VALUES)
