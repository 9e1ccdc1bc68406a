"""Numbers as people write them: decimal point or comma, fractions, exponents, grouped digits."""

from __future__ import annotations

import re

from msgspec import Struct

#: A number at the beginning of a text. Order matters: the longest reading of the same characters first.
_DIGITS = r"[0-9]"
NUMBER = (
    r"[+-]?(?:"
    rf"{_DIGITS}+[ -]{_DIGITS}+/{_DIGITS}+"  # 1 1/2, 1-1/2
    rf"|{_DIGITS}+/{_DIGITS}+"  # 3/16
    rf"|{_DIGITS}{{1,3}}(?: {_DIGITS}{{3}})+(?:[.,]{_DIGITS}+)?(?!{_DIGITS})"  # 12 000
    rf"|(?:{_DIGITS}[{_DIGITS[1:-1]}.,]*|[.,]{_DIGITS}+)(?:[eE][+-]?{_DIGITS}+)?"
    r")"
)
_WHOLE = re.compile(NUMBER)
_MIXED = re.compile(rf"([+-]?)(?:({_DIGITS}+)[ -])?({_DIGITS}+)/({_DIGITS}+)")


class NumberError(ValueError):
    """A number that cannot be read. ``check`` is ``unreadable-number`` or ``ambiguous-number``."""

    def __init__(self, check: str, saw: str, mend: str) -> None:
        super().__init__(saw)
        self.check, self.saw, self.mend = check, saw, mend


class Number(Struct, frozen=True):
    """A number and the value of its last written place (0.01 for ``2.50``; 0 for a fraction)."""

    value: float
    last_place: float


def read_number(text: str) -> Number:
    """Read one number that fills the whole text.

    Raises:
        NumberError: it is no number, too large, or could mean two numbers (``1,234``).
    """
    text = text.strip()
    mixed = _MIXED.fullmatch(text)
    if mixed:
        return _fraction(mixed)
    if not _WHOLE.fullmatch(text):
        raise NumberError("unreadable-number", f"`{text}` is not a number", "write it like 2.5 or 3/16")
    mantissa, _, exponent = text.replace("E", "e").replace(" ", "").partition("e")
    plain = _plain(mantissa)
    return _made(f"{plain}e{exponent or 0}", text, len(plain.partition(".")[2]), exponent)


def _made(plain: str, text: str, places: int, exponent: str) -> Number:
    """Turn plain digits into a float; refuse what no float holds."""
    power = int(exponent or 0) if len(exponent) < 6 else 99999
    value = float(plain) if power < 300 else float("inf")
    if abs(value) > 1e300:
        raise NumberError("unreadable-number", f"`{text}` is out of all proportion", "check the exponent")
    return Number(value, 10.0 ** (power - places) if abs(power - places) < 300 else 0.0)


def _fraction(match: re.Match[str]) -> Number:
    sign, whole, numerator, denominator = match.groups()
    if int(denominator) == 0 or max(len(whole or ""), len(numerator), len(denominator)) > 9:
        raise NumberError("unreadable-number", f"`{match[0]}` is no fraction", "write it like 3/16")
    value = int(whole or 0) + int(numerator) / int(denominator)
    return Number(-value if sign == "-" else value, 0.0)


def _plain(text: str) -> str:
    """Return the digits with a decimal point only, sorting out commas and points.

    One comma is a decimal comma, except before exactly three digits, where it may group thousands.
    """
    commas, points = text.count(","), text.count(".")
    if not commas and points <= 1:
        return text
    if commas and points:
        mark = max(",.", key=text.rfind)
        return _ungrouped(text, ",.".replace(mark, ""), mark)
    mark = "," if commas else "."
    if text.count(mark) > 1:
        return _ungrouped(text, mark, "")
    head, _, tail = text.lstrip("+-").partition(",")
    if len(tail) == 3 and 1 <= len(head) <= 3 and not head.startswith("0"):
        raise NumberError(
            "ambiguous-number",
            f"`{text}` can mean {head}{tail} or {head}.{tail}",
            f"write {head}{tail} or {head}.{tail}",
        )
    return text.replace(",", ".")


def _ungrouped(text: str, group: str, mark: str) -> str:
    """Drop grouping marks where every group has three digits; keep the decimal mark as a point."""
    whole, _, tail = text.rpartition(mark) if mark else (text, "", "")
    head, *groups = whole.lstrip("+-").split(group)
    if (
        not 1 <= len(head) <= 3
        or any(len(part) != 3 or not part.isdigit() for part in groups)
        or (mark and mark in whole)
    ):
        raise NumberError("unreadable-number", f"`{text}` is not a number", "write it like 1234.5")
    sign = "-" if text.startswith("-") else ""
    return f"{sign}{head}{''.join(groups)}" + (f".{tail}" if mark else "")
