"""How an event is written: plain block-style YAML that a person can read and that says one thing only.

Every value has exactly one spelling, so that a reader can tell whether a text is what this program wrote.
The texts use the part of YAML on which its versions agree: words stand plain only where nothing could take
them for something else; all other text is in double quotes on one line.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any

from proveout.model.problem import BadInputError, Place, Problem

#: A list of plain values no longer than this stands in one line.
LINE = 88

#: Deeper nesting than this is no record of ours.
MAX_DEPTH = 36

#: Longest written key: YAML gives up looking for the colon after 1024 characters.
MAX_KEY = 1000

#: A character is written as six at most.
_SURELY_FITS = MAX_KEY // 6 - 2

_SAFE_INT = 2**53
#: Longest text whose spelling is remembered: keys and ids, which come again and again.
_WORD = 60
_PLAIN = re.compile(
    r"[A-Za-z][A-Za-z0-9_./()-]*(?: [A-Za-z0-9_./()-]+)*"  # words: purge-valve, no heat at idle
    r"|-?[0-9]+(?:\.[0-9]+)? [A-Za-z%][A-Za-z0-9%/]*"  # a value with its unit: 2.5 V
)
_WORDS = frozenset({"true", "false", "null", "yes", "no", "on", "off", "nan", "inf"})
#: Half of the digests begin with a letter and would do without quotes; all have them, to look alike.
_DIGEST = re.compile(r"[0-9a-f]{32,}")
_SURROGATE = re.compile("[\ud800-\udfff]")
_UNPRINTABLE = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")


def render(value: Mapping[str, Any]) -> str:
    """Write a mapping as a YAML document without its ``---`` line; ends with a newline.

    Args:
        value: text keys; values None, bool, int, finite float, text, lists and mappings of these.

    Raises:
        BadInputError: a value that a record cannot hold; ``saw`` names the key.
    """
    return "".join(f"{line}\n" for line in _mapping(plain(value), "")) or "{}\n"


def render_list(entries: Sequence[Mapping[str, Any]]) -> str:
    """Write a list of mappings as a YAML document; ends with a newline.

    Raises:
        BadInputError: as for ``render``.
    """
    return "".join(f"{line}\n" for entry in entries for line in _entry("-", plain(entry), ""))


def plain(value: Any, at: str = "", depth: int = 0) -> Any:
    """Copy a value with mappings as dict and sequences as list.

    Raises:
        BadInputError: a value that a record cannot hold: not a number, beyond 2**53, no text, too deep.
    """
    if depth > MAX_DEPTH:
        raise _unfit(at, f"nested deeper than {MAX_DEPTH}")
    if value is None or isinstance(value, str | int | float):
        return _checked_scalar(value, at)
    if isinstance(value, Mapping):
        return {_key(key, at): plain(inner, f"{at}.{key}", depth + 1) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain(inner, f"{at}[{index}]", depth + 1) for index, inner in enumerate(value)]
    return _checked_scalar(value, at)


def _checked_scalar(value: Any, at: str) -> Any:
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int):
        if abs(value) >= _SAFE_INT:
            raise _unfit(at, f"{value} cannot be kept exactly")
        return int(value)
    if isinstance(value, float):
        if not math.isfinite(value):
            raise _unfit(at, f"{value} is no number")
        return float(value)
    if isinstance(value, str):
        if not value.isascii() and _SURROGATE.search(value):
            raise _unfit(at, "text that is not UTF-8")
        return str(value)
    raise _unfit(at, f"a {type(value).__name__}")


def _key(key: Any, at: str) -> str:
    if not isinstance(key, str):
        raise _unfit(at, f"a key that is no text: {key!r}")
    _checked_scalar(key, at)
    if len(key) > _SURELY_FITS and len(_scalar(key)) > MAX_KEY:
        raise _unfit(at, "a key that is too long")
    return str(key)


def _unfit(at: str, saw: str) -> BadInputError:
    where = at.lstrip(".") or "the event"
    expected = "text, true, false, null, finite numbers, and lists and mappings of these"
    return BadInputError(Problem(Place("case"), "unfit-value", f"{where}: {saw}", expected))


def _mapping(value: Mapping[str, Any], indent: str) -> Iterator[str]:
    for key, inner in value.items():
        yield from _entry(f"{indent}{_scalar(key)}:", inner, indent)


def _entry(lead: str, value: Any, indent: str) -> Iterator[str]:
    """Write what follows ``key:`` or ``-``: on the same line where it is short, else below it."""
    short = _one_line(value, LINE - len(lead))
    if short is not None:
        yield f"{lead} {short}"
    elif isinstance(value, dict) and lead.endswith("-"):
        first, *rest = _mapping(value, f"{indent}  ")
        yield f"{lead} {first.lstrip(' ')}"
        yield from rest
    elif isinstance(value, dict):
        yield lead
        yield from _mapping(value, f"{indent}  ")
    else:
        yield lead
        for inner in value:
            yield from _entry(f"{indent}  -", inner, f"{indent}  ")


def _one_line(value: Any, room: int) -> str | None:
    """Return a scalar, an empty collection or a short list of scalars in one line, else None."""
    if isinstance(value, dict):
        return None if value else "{}"
    if not isinstance(value, list):
        return _scalar(value)
    if any(isinstance(inner, dict | list) for inner in value):
        return None
    line = "[" + ", ".join(_scalar(inner) for inner in value) + "]"
    return line if len(line) <= room or not value else None


def _scalar(value: Any) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return _number(value)
    return _word(value) if len(value) <= _WORD else _text(value)


@lru_cache(maxsize=4096)
def _word(value: str) -> str:
    return _text(value)


def _text(value: str) -> str:
    """Return a text as it is written: plain where nothing could take it for something else, else quoted."""
    if _PLAIN.fullmatch(value) and value.lower() not in _WORDS and not _DIGEST.fullmatch(value):
        return str(value)
    return _UNPRINTABLE.sub(lambda found: f"\\u{ord(found[0]):04x}", json.dumps(value, ensure_ascii=False))


def _number(value: float) -> str:
    """Write a float so that it reads back as itself, or as the equal integer; the point is always there."""
    if value.is_integer() and abs(value) < _SAFE_INT:
        return str(int(value))
    digits, exponent, power = repr(value).partition("e")
    return f"{digits}{'' if '.' in digits else '.0'}{exponent}{power}"
