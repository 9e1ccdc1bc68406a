"""Canonical JSON is that of the library rfc8785, an implementation by others, for whatever can be written."""

from __future__ import annotations

import math
from typing import Any

import pytest
import rfc8785
from hypothesis import example, given, settings
from hypothesis import strategies as st

from proveout.model.problem import NOWHERE
from proveout.text.canonical import canonical, canonical_node
from proveout.text.node import Key, Listing, Mapping, Node, Scalar, plain

SCALARS = st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters())
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner) | st.tuples(inner),
    max_leaves=20,
)

#: What YAML can say; a number that is no number is text there.
SAID = (
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text()
)
DOCUMENTS = st.recursive(
    SAID, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=20
)


def node_of(value: Any) -> Node:
    if isinstance(value, dict):
        return Mapping(tuple((Key(key, NOWHERE), node_of(inner)) for key, inner in value.items()), NOWHERE)
    if isinstance(value, list):
        return Listing(tuple(map(node_of, value)), NOWHERE)
    return Scalar(value, str(value), NOWHERE)


@given(VALUES)
@example({"\ufb33": 1, "\U0001f600": 2, "a": [0.0, -0.0, 20.0, 5e-05, 1e16, 1e21, 1e-7, 123456789.125]})
@example({"b": True, "a": None, "": '\x00\x1f\x7f\b\f\n\r\t"\\/\u2028é'})
@example([2**53 - 1, -(2**53) + 1, (), {}, []])
@settings(max_examples=500, deadline=None)
def test_it_is_that_of_the_library(value: Any) -> None:
    try:
        wanted = rfc8785.dumps(value)
    except rfc8785.CanonicalizationError as refused:
        with pytest.raises(type(refused)):
            canonical(value)
    else:
        assert canonical(value) == wanted


@given(DOCUMENTS)
@example({"a": [20.0, 1.05, -0.0, 5e-05, 1.5e-7, 1e16, 1e21, True, 3], "b": {"c": 7.0, "": None}})
@example({"\ufb33": 1, "\U0001f600": 2, "\ue000": 3, "é": '\x00\x1f\x7f\b\f\n\r\t"\\/\u2028'})
@example({"z": 2**53 - 1, "y": 2**53})
@settings(max_examples=500, deadline=None)
def test_so_is_that_of_a_node(value: Any) -> None:
    node = node_of(value)
    try:
        wanted = rfc8785.dumps(plain(node))
    except rfc8785.CanonicalizationError as refused:
        with pytest.raises(type(refused)):
            canonical_node(node)
    else:
        assert canonical_node(node) == wanted


@pytest.mark.parametrize("value", [math.nan, math.inf, 2**53, "\ud800", {1: 2}, {"a": object()}])
def test_what_it_has_no_place_for_is_refused(value: Any) -> None:
    with pytest.raises(rfc8785.CanonicalizationError):
        canonical(value)
