"""Tests that take long are spread over the processes, and none is lost."""

from __future__ import annotations

import pytest

from helpers_order import begun_first

ITEMS = [f"t{number}" for number in range(22)]
LONG = {"t3": 60.0, "t9": 50.0, "t10": 30.0, "t20": 25.0, "t21": 20.0}


@pytest.mark.parametrize("processes", range(1, 8))
def test_every_one_is_there_once_and_what_is_not_long_keeps_its_order(processes: int) -> None:
    found = begun_first(ITEMS, LONG, processes)
    assert sorted(found) == sorted(ITEMS)
    assert [item for item in found if item not in LONG] == [item for item in ITEMS if item not in LONG]


def test_each_stretch_begins_with_its_share_the_longest_first() -> None:
    """The stretches are those that ``xdist.scheduler.worksteal`` hands out: what is left over those left."""
    found = begun_first(ITEMS, LONG, 4)
    assert found[0] == "t3"
    assert found[5] == "t9"
    assert found[10] == "t10"
    assert found[16:18] == ["t20", "t21"]
    assert begun_first(ITEMS, LONG, 1)[:5] == ["t3", "t9", "t10", "t20", "t21"]


def test_more_processes_than_items_and_none_that_is_long() -> None:
    assert sorted(begun_first(["a", "b"], {"a": 1.0, "b": 2.0}, 5)) == ["a", "b"]
    assert begun_first(ITEMS, {}, 3) == ITEMS
