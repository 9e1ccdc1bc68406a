"""YAML to located nodes: what scalars stand for, where things stand, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from proveout.model.problem import BadInputError, Place
from proveout.text.compose import MAX_DEPTH, MAX_NODES, compose, compose_stream
from proveout.text.node import Mapping, find, plain

#: Scalar as written, what it stands for. The first group is the core schema of YAML 1.2.2, section 10.3.2.
SCALARS = [
    ("null", None),
    ("Null", None),
    ("NULL", None),
    ("~", None),
    ("", None),
    ("true", True),
    ("True", True),
    ("TRUE", True),
    ("false", False),
    ("False", False),
    ("0", 0),
    ("0o7", 7),
    ("0x3A", 58),
    ("-19", -19),
    ("0.", 0.0),
    ("-0.0", -0.0),
    (".5", 0.5),
    ("+12e03", 12000.0),
    ("-2E+05", -200000.0),
    ("1e3", 1000.0),
    # Text, by the core schema or, for leading zeros and .inf, by our narrowing of it.
    ("no", "no"),
    ("yes", "yes"),
    ("On", "On"),
    ("1:30", "1:30"),
    ("0123", "0123"),
    ("-0123.5", "-0123.5"),
    ("2026-01-01", "2026-01-01"),
    ("1_000", "1_000"),
    ("0b11", "0b11"),
    ("0xG", "0xG"),
    (".inf", ".inf"),
    (".nan", ".nan"),
    ("..-40", "..-40"),
    ("35..90", "35..90"),
    ("'5'", "5"),
    ('"true"', "true"),
    ("''", ""),
    ("|\n  3", "3\n"),
    ("1.5.2", "1.5.2"),
    ("+", "+"),
    ("=", "="),
]


@pytest.mark.parametrize(("text", "value"), SCALARS)
def test_scalars_stand_for_what_yaml_1_2_says(text: str, value: object) -> None:
    content: Any = plain(compose(f"a: {text}\n", "f"))
    assert content == {"a": value}
    assert type(content["a"]) is type(value)


def test_places_are_those_of_values_and_keys() -> None:
    root = compose("- id: x\n  sub:\n    - 1\n    - {é: b, k: c}\n", "f.yaml")
    assert find(root, (0, "sub", 1, "k")).place == Place("f.yaml", 4, 17)
    inner = find(root, (0, "sub", 1))
    assert isinstance(inner, Mapping)
    assert inner.key_place("k") == Place("f.yaml", 4, 14)
    assert find(root, (0, "nowhere", 3)).place == Place("f.yaml", 1, 3)


def test_windows_line_ends_and_a_byte_order_mark_do_not_move_places() -> None:
    root = compose("\ufeffa: 1\r\nb: 2\r\n", "f")
    assert plain(root) == {"a": 1, "b": 2}
    assert find(root, ("b",)).place == Place("f", 2, 4)


def test_nothing_is_a_null_scalar() -> None:
    assert plain(compose("# only a remark\n", "f")) is None
    assert compose_stream("", "f") == ()


def test_a_stream_gives_each_document() -> None:
    assert [plain(node) for node in compose_stream("a: 1\n---\nb: 2\n...\n", "f")] == [{"a": 1}, {"b": 2}]


#: Text, check's name, line and column.
REFUSED = [
    ("a: &x 1", "yaml-anchor", 1, 4),
    ("a: [b, *x]", "yaml-alias", 1, 8),
    ("&a [*a]", "yaml-anchor", 1, 1),
    ("a: !!str 3", "yaml-tag", 1, 4),
    ("a: ! 3", "yaml-tag", 1, 4),
    ("a: !!python/object/apply:os.getcwd []", "yaml-tag", 1, 4),
    ("a: {b: 1}\n<<: {c: 2}", "yaml-merge", 2, 1),
    ("a: 1\nb: 2\na: 3", "yaml-duplicate-key", 3, 1),
    ("a: 1\n'a': 3", "yaml-duplicate-key", 2, 1),
    ("? [1]\n: 2", "yaml-key", 1, 3),
    ("? {b: 1}\n: 2", "yaml-key", 1, 3),
    ("a: 1\n---\nb: 2", "yaml-documents", 3, 1),
    ("a: 9007199254740992", "yaml-number", 1, 4),
    ("a: 1e999", "yaml-number", 1, 4),
    ("a: " + "1" * 41, "yaml-number", 1, 4),
    ("a: [", "yaml-syntax", 2, 1),
    ("a: b: c", "yaml-syntax", 1, 5),
    ("a:\n\t- b", "yaml-syntax", 2, 1),
    ("a: 1\nb: \x07", "yaml-syntax", 2, 4),
    ('a: "x\nb: 1\nc: 2', "yaml-quote", 1, 4),
    ("a: 1\nb: 'x\nc: 1", "yaml-quote", 2, 4),
    ('a: "x\nb: "y"\nc: 2', "yaml-quote", 1, 4),
    ('- {a: 1, b: "x}\n- {c: "y", d: 2}\n', "yaml-quote", 1, 13),
    ("a: \ud800", "not-utf8", 1, 4),
    ('a: "\\ud800"', "yaml-syntax", 1, 7),
    ("[" * (MAX_DEPTH + 1), "yaml-depth", 1, MAX_DEPTH + 1),
    ("- " * (MAX_DEPTH + 1), "yaml-depth", 1, 2 * MAX_DEPTH + 1),
]


@pytest.mark.parametrize(("text", "check", "line", "column"), REFUSED)
def test_what_is_refused_is_refused_at_its_place(text: str, check: str, line: int, column: int) -> None:
    with pytest.raises(BadInputError) as raised:
        compose(text, "f")
    problem = next(p for p in raised.value.problems if p.check == check)
    assert (problem.place.line, problem.place.column) == (line, column)
    assert problem.saw
    assert problem.mend


def test_all_refusals_are_reported_together() -> None:
    with pytest.raises(BadInputError) as raised:
        compose("a: &x 1\nb: *x\na: 2\n", "f")
    assert [p.check for p in raised.value.problems] == ["yaml-anchor", "yaml-duplicate-key"]


def test_a_bomb_of_aliases_is_one_complaint_that_counts_them() -> None:
    """After the bomb that is told of everywhere: nine levels of nine aliases."""
    levels = [f"l{n}: &l{n} [{', '.join([f'*l{n - 1}'] * 9)}]" for n in range(1, 9)]
    with pytest.raises(BadInputError) as raised:
        compose("\n".join(["l0: &l0 x", *levels]), "f")
    (problem,) = raised.value.problems
    assert problem.place == Place("f", 1, 5)
    assert "81 anchors and aliases" in problem.saw


def test_limits_are_named_in_the_complaint() -> None:
    with pytest.raises(BadInputError, match=str(MAX_DEPTH)):
        compose("[" * 50, "f")
    with pytest.raises(BadInputError, match=str(MAX_NODES)):
        compose("[" + "1," * MAX_NODES + "]", "f")


def test_nesting_beyond_what_libyaml_bears_is_refused() -> None:
    """Libyaml stops by itself, ahead of our count."""
    with pytest.raises(BadInputError) as raised:
        compose("[" * 20_000, "f")
    assert {p.check for p in raised.value.problems} == {"yaml-depth"}


def test_a_large_file_within_the_limits_is_read() -> None:
    assert len(plain(compose("- 1\n" * (MAX_NODES - 1), "f"))) == MAX_NODES - 1
