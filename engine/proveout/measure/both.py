"""Figures in prose, said in metric and US units side by side from the one that was written.

``Stop at 60 kPa of vacuum.`` becomes ``Stop at 60 kPa (18 inHg) of vacuum.`` A figure that its author has
followed by one in brackets stays as it is. A degree is shown by its sign, however it was written.
"""

from __future__ import annotations

import re
from math import floor, log10

from proveout.measure.convert import convert, gain
from proveout.measure.units import Unit, find_unit

_NUMBER = r"(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?"
_BETWEEN = r"(?: to | or | and | by | x |, |-)"

#: How a unit is written in prose -> its symbol, its quantity, what it is said in besides, that one's name.
_SAID: dict[str, tuple[str, str, str, str]] = {
    "km/h": ("km/h", "speed", "mph", "mph"),
    "mph": ("mph", "speed", "km/h", "km/h"),
    "km": ("km", "length", "mi", "miles"),
    "miles": ("mi", "length", "km", "km"),
    "mm": ("mm", "length", "in", "in"),
    "cm": ("cm", "length", "in", "in"),
    "m": ("m", "length", "ft", "ft"),
    "metres": ("m", "length", "ft", "ft"),
    "feet": ("ft", "length", "m", "m"),
    "ft": ("ft", "length", "m", "m"),
    "inch": ("in", "length", "mm", "mm"),
    "inches": ("in", "length", "mm", "mm"),
    "litres": ("L", "volume", "gal", "US gal"),
    "L": ("L", "volume", "gal", "US gal"),
    "gallon": ("gal", "volume", "L", "L"),
    "gallons": ("gal", "volume", "L", "L"),
    "degC": ("degC", "temperature", "degF", "°F"),
    "degF": ("degF", "temperature", "degC", "°C"),
    "°C": ("degC", "temperature", "degF", "°F"),
    "°F": ("degF", "temperature", "degC", "°C"),
    "kPa": ("kPa", "pressure", "", ""),
    "bar": ("bar", "pressure", "", ""),
    "psi": ("psi", "pressure", "kPa", "kPa"),
    "inHg": ("inHg", "pressure", "kPa", "kPa"),
    "inH2O": ("inH2O", "pressure", "kPa", "kPa"),
}

_FIGURE = re.compile(
    rf"(?<![\w.,/-])(?P<minus>-?)(?P<numbers>{_NUMBER}(?:{_BETWEEN}-?{_NUMBER})*) "
    rf"(?P<unit>{'|'.join(sorted(map(re.escape, _SAID), key=len, reverse=True))})(?![\w/])"
)
_DIGIT = re.compile(r"\d")
_EACH = re.compile(rf"-?{_NUMBER}")
#: The other figure stands there already: behind this one in brackets, or this one is it.
_NAMES = "|".join(
    sorted({name for *_, name in _SAID.values() if name} | {"inHg", "inH2O", "psi", "degC", "degF"})
)
_SEVERAL = rf"-?{_NUMBER}(?:{_BETWEEN}-?{_NUMBER})*"
_FOLLOWED = re.compile(
    rf"(?: \w+){{0,2}} ?\((?:about |typically )?-?{_NUMBER}|(?:, |,? or ){_SEVERAL} (?:{_NAMES})\b"
)
_FOLLOWS = re.compile(
    rf"{_NUMBER} (?:{'|'.join(map(re.escape, _SAID))})(?:(?: \w+){{0,2}} ?\([^()]*|, | or )$"
)

_DEGREES = re.compile(r"\bdeg([CF])\b")

#: Words about a figure by which a temperature is a difference of two.
_APART_BEFORE = re.compile(
    r"\b(?:within|by|(?:rise|fall|drop|change|difference|step)s? of|each|every)(?: (?:some|about|up to))? $",
    re.IGNORECASE,
)
_APART_AFTER = re.compile(
    r"^ (?:or (?:more|less) )?(?:too |and )?(?:warmer|colder|hotter|cooler|higher|lower|later|earlier|apart"
    r"|high|low|hot|cold|warm|little|much|of each other|of the other|from side|from the|within"
    r"|(?:above|below) (?:the|its|their|that|what)\b|off\b|difference)"
)
_VACUUM_BEFORE = re.compile(r"\b(?:vacuum|absolute|barometric|height|altitude)\b[^.;:]{0,40}$", re.IGNORECASE)
_VACUUM_AFTER = re.compile(
    r"^[^.;:,(]{0,30}\b(?:vacuum|absolute|abs|height)\b|^ below (?:the )?(?:atmosphere|outside)"
)

#: Figures below these are not said in the other system: freezing point counts, nothing else that is none; a
#: few litres are as good as quarts, and an engine's size is known in litres.
_LEAST = {"degC": 0.0, "degF": 0.0, "L": 4.0}

#: Below this a pressure is said in inches of water, in kPa: what a low-pressure gauge shows.
_SMALL = 7.5


def in_both(text: str, *, vacuum: bool = False) -> str:
    """Return a text in which each figure of one system of units is followed by that of the other.

    Args:
        text: prose.
        vacuum: pressures are what a vacuum pump makes, also where the words do not say so.
    """
    if _DIGIT.search(text):  # most texts hold none, which is seen in a tenth of the time
        text = _FIGURE.sub(lambda found: found[0] + _other_system(found, vacuum), text)
    return with_signs(text)


def with_signs(text: str) -> str:
    """Return a text with ``°C`` for ``degC`` and ``°F`` for ``degF``."""
    return _DEGREES.sub(r"°\1", text) if "deg" in text else text


def _other_system(found: re.Match[str], vacuum: bool) -> str:
    """Return the figure of the other system in brackets; "" where it stands there or is of no use."""
    before, after = found.string[: found.start()], found.string[found.end() :]
    symbol, quantity, other, name = _SAID[found["unit"]]
    own = find_unit(symbol, quantity)
    texts = _EACH.findall(found["minus"] + found["numbers"])
    most = max(abs(_value(one)) for one in texts)
    if _FOLLOWED.match(after) or _FOLLOWS.search(before) or most < _LEAST.get(symbol, 1e-9):
        return ""
    if not other:
        below = _VACUUM_BEFORE.search(before) or _VACUUM_AFTER.match(after) or min(map(_value, texts)) < 0
        other = name = _pressure(most, own, vacuum or bool(below))
    to = find_unit(other, quantity)
    apart = quantity == "temperature" and bool(_APART_BEFORE.search(before) or _APART_AFTER.match(after))
    said = _EACH.sub(lambda one: _other(one[0], own, to, apart), found["minus"] + found["numbers"])
    inside = before.count("(") > before.count(")")
    return f", {said} {name}" if inside else f" ({said} {name})"


def _value(text: str) -> float:
    return float(text.replace(",", ""))


def _pressure(value: float, own: Unit, vacuum: bool) -> str:
    """Return the US unit that a gauge for such a pressure has."""
    if convert(value, own, find_unit("kPa", "pressure")) < _SMALL:
        return "inH2O"
    return "inHg" if vacuum else "psi"


def _other(text: str, own: Unit, to: Unit, apart: bool) -> str:
    """Return a number in the other unit, no more exact than it was written."""
    value = _value(text)
    turned = value * gain(own, to) if apart else convert(value, own, to)
    if to.dimension == "temperature":
        return f"{turned:.0f}".replace("-0", "0") if abs(turned) < 0.5 else f"{turned:.0f}"
    if not turned:
        return "0"
    digits = max(2, len(text.replace(",", "").replace(".", "").lstrip("-0").rstrip("0")))
    places = digits - 1 - floor(log10(abs(turned)))
    return f"{round(turned, places):,.{max(places, 0)}f}" if places > 0 else f"{round(turned, places):,.0f}"
