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


def test_a_thermostat_is_proven_with_bare_hands() -> None:
    """Level, then the hose, then the thermostat: nothing of it takes a reader of live data."""
    from helpers_shipped import shipped_book
    from proveout.intake.document import case_of
    from proveout.plan.advice import advise

    told = {key: value for key, value in TABLE["thermostat-slow-warm-up"].items() if key != "expect"}
    full = {"coolant-level-cold": "full"}
    felt = advise(case_of({**told, "results": full}, shipped_book()), shipped_book())
    assert felt.verdict.kind == "inspect"
    assert felt.next is not None and felt.next.inspection == "upper-hose-warm-up"
    warm = {**full, "upper-hose-warm-up": "warms-early"}
    proven = advise(case_of({**told, "results": warm}, shipped_book()), shipped_book())
    assert proven.verdict.kind == "repair"
    assert proven.verdict.cause == "thermostat-stuck-open"
