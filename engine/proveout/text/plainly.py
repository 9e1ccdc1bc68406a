"""Whether a small document is as its schema describes it, said without loading a checker of schemas.

Loading one and building what it needs takes longer than all else that is done with an intake. What is known
here of draft 2020-12 is exact; where a schema or a value asks for more, the answer is that it is not known.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from typing import Any, TypeAlias

#: A schema: what a value must be, or whether any value will do.
Schema: TypeAlias = Mapping[str, Any] | bool

#: Keywords that ask for nothing.
_REMARKS = frozenset({"$id", "$comment", "title", "description", "default", "examples", "$defs"})


class _NotKnownError(Exception):
    """A keyword or a value of which nothing is known here."""


def fits_plainly(value: Any, file: str, schema_of: Callable[[str], Any]) -> bool:
    """Return whether a value is plainly as a schema describes it; False also where that is not known.

    Args:
        value: plain data.
        file: name of the schema, such as ``intake.schema.json``.
        schema_of: gives the content of a schema by its name.
    """
    try:
        return _Plain(schema_of).fits(value, schema_of(file), file)
    except _NotKnownError:
        return False


class _Plain:
    """Walks a value and its schema side by side."""

    def __init__(self, schema_of: Callable[[str], Any]) -> None:
        self._schema_of = schema_of

    def fits(self, value: Any, schema: Schema, file: str) -> bool:
        """Say whether a value is as a schema of some file describes it."""
        if isinstance(schema, bool):
            return schema
        return all(
            self._holds(value, word, wanted, schema, file)
            for word, wanted in schema.items()
            if word not in _REMARKS
        )

    def _referred(self, value: Any, reference: str, file: str) -> bool:
        name, _, path = reference.partition("#")
        file = name or file
        schema = self._schema_of(file)
        for step in path.strip("/").split("/") if path else ():
            schema = schema[step]
        return self.fits(value, schema, file)

    def _holds(self, value: Any, word: str, wanted: Any, schema: Mapping[str, Any], file: str) -> bool:
        """Say whether a value does as one keyword asks."""
        if word == "$ref":
            return self._referred(value, wanted, file)
        if word in _SIMPLE:
            kind, holds = _SIMPLE[word]
            return not _is_a(value, kind) or holds(value, wanted)
        if word in ("allOf", "anyOf", "oneOf"):
            count = sum(self.fits(value, one, file) for one in wanted)
            return {"allOf": count == len(wanted), "anyOf": count > 0, "oneOf": count == 1}[word]
        if word == "items" and isinstance(wanted, Mapping | bool):
            return not isinstance(value, list) or all(self.fits(item, wanted, file) for item in value)
        if word not in ("properties", "additionalProperties", "propertyNames"):
            raise _NotKnownError(word)
        if not isinstance(value, dict):
            return True
        named = schema.get("properties", {})
        if word == "properties":
            return all(self.fits(value[key], one, file) for key, one in wanted.items() if key in value)
        if word == "additionalProperties":
            return all(self.fits(inner, wanted, file) for key, inner in value.items() if key not in named)
        return all(self.fits(key, wanted, file) for key in value)


def _is_a(value: Any, kind: str) -> bool:
    """Say whether a value is of a type of JSON, "" for any; a whole number may be written with a point."""
    if isinstance(value, float) and not math.isfinite(value):
        raise _NotKnownError(value)
    if kind in ("number", "integer"):
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return number and (kind == "number" or value == int(value))
    return not kind or isinstance(value, _TYPES[kind])


def _same(value: Any, wanted: Any) -> bool:
    """Say whether two values are the same; numbers and what is made of them are not compared here."""
    if not isinstance(wanted, str | bool | None):
        raise _NotKnownError(wanted)
    return type(value) is type(wanted) and value == wanted


def _unique(items: list[Any], wanted: bool) -> bool:
    if not all(isinstance(item, str) for item in items):
        raise _NotKnownError("items that are no texts")
    return not wanted or len(set(items)) == len(items)


_TYPES = {"object": dict, "array": list, "string": str, "boolean": bool, "null": type(None)}

#: Keywords about a value by itself: the type that they speak of, and whether it does as they ask.
_SIMPLE: dict[str, tuple[str, Callable[[Any, Any], bool]]] = {
    "type": (
        "",
        lambda value, kinds: any(_is_a(value, k) for k in ([kinds] if type(kinds) is str else kinds)),
    ),
    "const": ("", _same),
    "enum": ("", lambda value, choices: any(_same(value, choice) for choice in choices)),
    "required": ("object", lambda value, names: all(name in value for name in names)),
    "minProperties": ("object", lambda value, least: len(value) >= least),
    "maxProperties": ("object", lambda value, most: len(value) <= most),
    "minItems": ("array", lambda value, least: len(value) >= least),
    "maxItems": ("array", lambda value, most: len(value) <= most),
    "uniqueItems": ("array", _unique),
    "minLength": ("string", lambda value, least: len(value) >= least),
    "maxLength": ("string", lambda value, most: len(value) <= most),
    "pattern": ("string", lambda value, how: bool(re.search(re.sub(r"\$$", r"\\Z", how), value))),
    "minimum": ("number", lambda value, least: value >= least),
    "maximum": ("number", lambda value, most: value <= most),
    "exclusiveMinimum": ("number", lambda value, least: value > least),
    "exclusiveMaximum": ("number", lambda value, most: value < most),
}
