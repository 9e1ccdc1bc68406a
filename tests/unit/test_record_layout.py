"""The spelling of events: one for each value, plain where nothing can misread it."""

from __future__ import annotations

import pytest

from proveout.record.layout import render, render_list
from proveout.text.compose import compose
from proveout.text.node import plain


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "null"),
        (True, "true"),
        (12, "12"),
        (-0.0, "0"),
        (2.0, "2"),
        (2.5, "2.5"),
        (1e-7, "1.0e-07"),
        (1e22, "1.0e+22"),
        (9007199254740993.0, "9007199254740992.0"),
        ("purge-valve", "purge-valve"),
        ("no heat at idle", "no heat at idle"),
        ("2.5 V", "2.5 V"),
        ("-1 kPa", "-1 kPa"),
        ("P0442", "P0442"),
        ("no", '"no"'),
        ("Yes", '"Yes"'),
        ("null", '"null"'),
        ("1:30", '"1:30"'),
        ("0123", '"0123"'),
        ("12", '"12"'),
        ("1e3", '"1e3"'),
        ("", '""'),
        (" x", '" x"'),
        ("a: b", '"a: b"'),
        ("a #b", '"a #b"'),
        ("---", '"---"'),
        ("two\nlines", '"two\\nlines"'),
        ('say "hi"', '"say \\"hi\\""'),
        ("\x85\u2028\ufeff", '"\\u0085\\u2028\\ufeff"'),
        ("ü😀", '"ü😀"'),
        ("ab" * 32, f'"{"ab" * 32}"'),
        ([], "[]"),
        ({}, "{}"),
        (["a", 1], "[a, 1]"),
    ],
)
def test_each_value_has_its_spelling_and_reads_back(value: object, text: str) -> None:
    assert render({"key": value}) == f"key: {text}\n"
    assert plain(compose(render({"key": value}), "f")) == {"key": value}


def test_nested_values_stand_in_blocks() -> None:
    value = {"a": {"b": [{"c": 1, "d": {"e": 2}}, [["x", "y"]], [{"z": 0}]]}, "long": ["word" * 10] * 3}
    text = render(value)
    assert text == (
        "a:\n  b:\n    - c: 1\n      d:\n        e: 2\n    -\n      - [x, y]\n    -\n      - z: 0\n"
        "long:\n" + f"  - {'word' * 10}\n" * 3
    )
    assert plain(compose(text, "f")) == value


def test_a_list_of_entries_is_a_book_file() -> None:
    text = render_list([{"id": "a", "when": {"code": "P0442"}}, {"id": "b"}])
    assert text == "- id: a\n  when:\n    code: P0442\n- id: b\n"
