"""Sixty situations, written from trade knowledge before the program was asked: what is done next, and why.

Source: common practice, from memory. Whether each comes out so is tried with the other shipped cases
(``test_shipped_book.py``); what came out otherwise at first says in its file why that is right.
"""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from helpers_shipped import shipped_cases

TABLE: dict[str, dict[str, Any]] = {
    path.stem: yaml.safe_load(path.read_text("utf-8"))
    for path in shipped_cases()
    if path.parent.name == "situations"
}


def test_there_are_sixty() -> None:
    assert len(TABLE) == 60


@pytest.mark.parametrize("name", TABLE)
def test_each_says_what_is_done_next_and_why(name: str) -> None:
    expect = TABLE[name]["expect"]
    assert len(expect["because"].split()) > 4
    assert {"next", "cause", "leads", "not_proven", "verdict"} & expect.keys()


def test_few_had_to_be_defended() -> None:
    """Of sixty, those that came out otherwise than written first."""
    assert sum("defended" in one["expect"] for one in TABLE.values()) <= 8


def test_without_a_reader_a_thermostat_is_handed_over_and_with_one_the_hose_is_felt() -> None:
    """What the defence of that situation says."""
    from helpers_shipped import shipped_book
    from proveout.intake.document import case_of
    from proveout.plan.advice import advise

    told = {key: value for key, value in TABLE["thermostat-slow-warm-up"].items() if key != "expect"}
    found = advise(case_of({**told, "tools": ["live-data-reader"]}, shipped_book()), shipped_book())
    assert found.verdict.kind == "inspect"
    bare = advise(case_of(told, shipped_book()), shipped_book())
    assert bare.tool is not None and bare.tool.tool == "live-data-reader"
