"""Schemas and values of which the small checker knows something, and those of which it does not."""

from __future__ import annotations

from typing import Any

import pytest

from proveout.text.plainly import fits_plainly


@pytest.mark.parametrize(
    ("schema", "good", "bad"),
    [
        ({"type": "integer"}, [1, 2.0, -3], [1.5, True, "1", None]),
        ({"type": "number"}, [1, 1.5], [False, "1"]),
        ({"type": ["string", "null"]}, ["", None], [0, []]),
        ({"enum": ["a", True]}, ["a", True], ["b", 1, False]),
        ({"const": False}, [False], [0, None]),
        ({"required": ["a"]}, [{"a": 1}, "no object"], [{}]),
        (
            {"properties": {"a": {"type": "string"}}, "additionalProperties": False},
            [{}, {"a": "x"}],
            [{"b": 1}],
        ),
        ({"additionalProperties": {"type": "string"}}, [{"a": "x"}], [{"a": 1}]),
        ({"propertyNames": {"pattern": "^[a-z]+$"}}, [{"ab": 1}], [{"ab\n": 1}, {"": 1}]),
        ({"items": {"minimum": 2}, "uniqueItems": False, "minItems": 1}, [["a"]], [[]]),
        ({"items": {"minimum": 2}, "maxItems": 2}, [[2, 3], []], [[1], [2, 2, 2]]),
        ({"uniqueItems": True}, [["a", "b"], []], [["a", "a"]]),
        ({"oneOf": [{"minimum": 2}, {"maximum": 4}]}, [1, 5], [3]),
        ({"anyOf": [{"minimum": 4}, {"maximum": 2}]}, [1, 5], [3]),
        ({"allOf": [{"exclusiveMinimum": 2}, {"exclusiveMaximum": 4}]}, [3], [2, 4]),
        ({"minLength": 1, "maxLength": 2}, ["é", 7], ["", "abc"]),
        ({"minProperties": 1, "maxProperties": 1}, [{"a": 1}], [{}, {"a": 1, "b": 1}]),
        (
            {"$ref": "#/$defs/a", "maxLength": 2, "$defs": {"a": {"type": "string"}}},
            ["x"],
            [None, "xyz"],
        ),
        (True, [None], []),
    ],
)
def test_what_is_known(schema: Any, good: list[Any], bad: list[Any]) -> None:
    assert all(fits_plainly(value, "one", lambda _: schema) for value in good)
    assert not any(fits_plainly(value, "one", lambda _: schema) for value in bad)


@pytest.mark.parametrize(
    ("schema", "value"),
    [
        ({"not": {"type": "string"}}, 1),
        ({"items": [{"type": "string"}]}, ["a"]),
        ({"const": 1}, 1),
        ({"enum": [[1]]}, [1]),
        ({"uniqueItems": True}, [1, 2]),
        ({"type": "number"}, float("inf")),
        ({"oneOf": [{"format": "date"}, {"type": "string"}]}, "x"),
    ],
)
def test_what_is_not_known_does_not_fit(schema: Any, value: Any) -> None:
    assert not fits_plainly(value, "one", lambda _: schema)
