"""Whether a plain value has the shape that a schema describes, asked fast and of every value that comes in.

``schema.validate`` says where and why a document is not as described, in words, and takes its time; this says
only yes or no, for what is nearly always yes: the events of case files. Both read the same schemas, so that
there is one description of each shape. The part of draft-07 that the project's schemas use is known; any
other keyword is refused when the schema is read, not passed by.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Mapping, Sized
from functools import cache
from typing import Any, TypeAlias

from proveout.text.shipped import shipped_dir

#: Says whether a value fits.
Test: TypeAlias = Callable[[Any], bool]
Schema: TypeAlias = Mapping[str, Any]

#: Keywords that describe and do not test.
_SILENT = frozenset({"$schema", "$id", "title", "description", "definitions"})


def fits(value: Any, schema_name: str, definition: str = "") -> bool:
    """Say whether a plain value is as ``schemas/<schema_name>.schema.json`` describes.

    Args:
        value: dict, list and scalar values.
        schema_name: such as ``event``.
        definition: one of the schema's definitions instead of the whole.
    """
    return _test(f"{schema_name}.schema.json", definition)(value)


@cache
def _schema(file: str) -> Schema:
    content: Schema = json.loads((shipped_dir("schemas") / file).read_text("utf-8"))
    return content


@cache
def _test(file: str, definition: str) -> Test:
    """Build the test of a schema or of one of its definitions."""
    whole = _schema(file)
    return _all(whole["definitions"][definition] if definition else whole, file)


def _reference(target: str, file: str) -> Test:
    """Build the test that a reference names; only when it is asked, since definitions may name themselves."""
    named, _, pointer = target.partition("#")
    definition = pointer.removeprefix("/definitions/")
    return lambda value: _test(named or file, definition)(value)


def _all(schema: Schema, file: str) -> Test:
    """Build the test of every keyword of a schema; beside a reference, draft-07 passes all others by."""
    if "$ref" in schema:
        return _reference(schema["$ref"], file)
    tests = [_of_object(schema, file)] if {"properties", "additionalProperties"} & schema.keys() else []
    for keyword, given in schema.items():
        if keyword not in _SILENT and keyword not in ("properties", "additionalProperties"):
            tests.append(_KEYWORDS[keyword](given, file))
    return tests[0] if len(tests) == 1 else lambda value: all(test(value) for test in tests)


def _of_object(schema: Schema, file: str) -> Test:
    known = {name: _all(inner, file) for name, inner in schema.get("properties", {}).items()}
    others = schema.get("additionalProperties", True)
    other: Test = (lambda _: others) if isinstance(others, bool) else _all(others, file)
    return lambda value: (
        not isinstance(value, dict) or all(known.get(name, other)(inner) for name, inner in value.items())
    )


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


_KINDS: Mapping[str, Test] = {
    "object": lambda value: isinstance(value, dict),
    "array": lambda value: isinstance(value, list),
    "string": lambda value: isinstance(value, str),
    "boolean": lambda value: isinstance(value, bool),
    "null": lambda value: value is None,
    "number": _is_number,
    "integer": lambda value: _is_number(value) and float(value).is_integer(),
}


def _type(given: Any, _: str) -> Test:
    tests = [_KINDS[name] for name in ([given] if isinstance(given, str) else given)]
    return lambda value: any(test(value) for test in tests)


def _same(a: Any, b: Any) -> bool:
    """Compare as JSON does: true is not 1."""
    return type(a) is type(b) and bool(a == b) if isinstance(a, bool) or isinstance(b, bool) else bool(a == b)


def _pattern(given: str, _: str) -> Test:
    found = re.compile(re.sub(r"\$$", r"\\Z", given))
    return lambda value: not isinstance(value, str) or found.search(value) is not None


def _unique(given: bool, _: str) -> Test:
    def test(value: Any) -> bool:
        if not given or not isinstance(value, list):
            return True
        return len({json.dumps(item, sort_keys=True) for item in value}) == len(value)

    return test


def _bound(holds: Callable[[Any, Any], bool]) -> Callable[[Any, str], Test]:
    """Make the test of a limit on numbers."""
    return lambda given, _: lambda value: not _is_number(value) or holds(value, given)


def _size(kind: type[Sized], holds: Callable[[int, int], bool]) -> Callable[[Any, str], Test]:
    """Make the test of a limit on the size of texts, lists or mappings."""
    return lambda given, _: lambda value: not isinstance(value, kind) or holds(len(value), given)


def _items(given: Schema, file: str) -> Test:
    test = _all(given, file)
    return lambda value: not isinstance(value, list) or all(test(item) for item in value)


def _names(given: Schema, file: str) -> Test:
    test = _all(given, file)
    return lambda value: not isinstance(value, dict) or all(test(name) for name in value)


def _branches(holds: Callable[[int, int], bool]) -> Callable[[Any, str], Test]:
    """Make the test of a choice by how many of its branches must fit."""

    def make(given: list[Schema], file: str) -> Test:
        tests = [_all(branch, file) for branch in given]
        return lambda value: holds(sum(test(value) for test in tests), len(tests))

    return make


_KEYWORDS: Mapping[str, Callable[[Any, str], Test]] = {
    "type": _type,
    "const": lambda given, _: lambda value: _same(value, given),
    "enum": lambda given, _: lambda value: any(_same(value, one) for one in given),
    "required": lambda given, _: lambda value: not isinstance(value, dict) or all(n in value for n in given),
    "pattern": _pattern,
    "minimum": _bound(lambda value, given: value >= given),
    "maximum": _bound(lambda value, given: value <= given),
    "exclusiveMinimum": _bound(lambda value, given: value > given),
    "exclusiveMaximum": _bound(lambda value, given: value < given),
    "minLength": _size(str, lambda size, given: size >= given),
    "maxLength": _size(str, lambda size, given: size <= given),
    "minItems": _size(list, lambda size, given: size >= given),
    "maxItems": _size(list, lambda size, given: size <= given),
    "minProperties": _size(dict, lambda size, given: size >= given),
    "maxProperties": _size(dict, lambda size, given: size <= given),
    "uniqueItems": _unique,
    "items": _items,
    "propertyNames": _names,
    "anyOf": _branches(lambda fitting, _: fitting > 0),
    "oneOf": _branches(lambda fitting, _: fitting == 1),
    "allOf": _branches(lambda fitting, count: fitting == count),
}
