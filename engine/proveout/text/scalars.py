"""What an unquoted YAML scalar stands for: the YAML 1.2 core schema (YAML 1.2.2, section 10.3.2), narrowed.

Narrowed, so that nothing typed in a shop turns into something else behind its author's back: digits with
leading zeros (``0123``) stay text, and so do ``.inf`` and ``.nan``, since no entry can mean them.
"""

from __future__ import annotations

import re
from math import isfinite

from proveout.text.node import ScalarValue

_WORDS: dict[str, ScalarValue] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
_INT = re.compile(r"[-+]?(0|[1-9][0-9]*)\Z")
_OCTAL = re.compile(r"0o[0-7]+\Z")
_HEX = re.compile(r"0x[0-9a-fA-F]+\Z")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|(0|[1-9][0-9]*)(\.[0-9]*)?)([eE][-+]?[0-9]+)?\Z")

#: Above this, JSON readers and digests no longer hold a whole number exactly (RFC 8785, section 3.2.2.3).
LARGEST_INT = 2**53 - 1
#: No number that anyone means is written with more characters.
LONGEST_NUMBER = 40


def resolve(text: str) -> ScalarValue:
    """Return what the unquoted ``text`` stands for: null, true, false, a number, or the text itself.

    Raises:
        OverflowError: it is a number, but too large or too long to be held exactly.
    """
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in "0123456789+-.":
        return text
    if _FLOAT.match(text) is None and _HEX.match(text) is None and _OCTAL.match(text) is None:
        return text
    if len(text) > LONGEST_NUMBER:
        raise OverflowError(text)
    return _number(text)


def _number(text: str) -> int | float:
    """Turn the text of a number into it."""
    if _INT.match(text):
        number: int | float = int(text)
    elif text.startswith("0x"):
        number = int(text[2:], 16)
    elif text.startswith("0o"):
        number = int(text[2:], 8)
    else:
        number = float(text)
    if not isfinite(number) or (isinstance(number, int) and abs(number) > LARGEST_INT):
        raise OverflowError(text)
    return number
