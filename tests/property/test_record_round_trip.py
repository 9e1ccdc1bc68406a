"""Whatever can be kept is read back the same, and every cut or change is noticed."""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_record import EVENTS, INTAKE, at, write_case
from proveout.record import casefile
from proveout.record.layout import render
from proveout.record.verify import check
from proveout.text.compose import compose
from proveout.text.node import plain

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | TEXT
    | st.sampled_from(
        ["no", "1:30", "0x10", "1e3", ".5", "~", "- a", "? b", "&a", "*a", "!t", "%d", "@", "`", "|", ">"]
    )
)
VALUES = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4)
)
BODIES = st.dictionaries(TEXT, VALUES, max_size=5)

with TemporaryDirectory() as _home:
    TWELVE = write_case(Path(_home) / "van.yaml")


@settings(max_examples=300, deadline=None)
@given(BODIES)
def test_every_body_reads_back_to_the_same_canonical_json(body: dict[str, Any]) -> None:
    back = plain(compose(render(body), "f"))
    assert rfc8785.dumps(back) == rfc8785.dumps(body)
    assert render(back) == render(body)
    assert json.loads(rfc8785.dumps(back)) == json.loads(rfc8785.dumps(body))


@settings(max_examples=40, deadline=None)
@given(BODIES)
def test_every_body_can_be_kept_in_a_file(body: dict[str, Any]) -> None:
    with TemporaryDirectory() as home:
        path = Path(home) / "van.yaml"
        casefile.create(path, INTAKE, at(1))
        event = casefile.append(path, "note", body, at(2))
        assert casefile.read(path)[1] == event
        assert casefile.verify(path).sound


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_no_change_of_any_stretch_goes_unnoticed(data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(TWELVE) - 1))
    end = data.draw(st.integers(start, min(len(TWELVE), start + 40)))
    new = data.draw(st.binary(max_size=40) | st.sampled_from([b"---\n", b"\n", b" ", b'digest: "', b"# x\n"]))
    changed = TWELVE[:start] + new + TWELVE[end:]
    if changed != TWELVE:
        assert not check(changed, "van.yaml").sound


def test_the_twelve_events_hold_every_kind() -> None:
    assert {kind for kind, _ in EVENTS} >= {"reading", "withdrawal", "advice", "purchase", "repair", "close"}
