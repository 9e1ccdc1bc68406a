"""The README states where the knowledge of the book comes from, as it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_shipped import shipped_book
from helpers_sources import (
    COMPUTED,
    KINDS,
    MEMORY,
    PRACTICE,
    PUBLISHED,
    counted,
    kind,
    sources,
    stated,
    states_a_figure,
)

README = Path(__file__).parents[2] / "README.md"
#: The book grows every week: what is stated may be this share off, or this many.
OFF, FEW = 0.02, 5


def test_the_readme_states_how_many_of_each_sort_rest_on_what() -> None:
    told = stated(README.read_text("utf-8"))
    found = {sort: counted(texts) for sort, texts in sources(shipped_book()).items()}
    assert list(told) == list(found)
    far = {
        sort: (told[sort], counts)
        for sort, counts in found.items()
        if any(abs(a - b) > max(FEW, OFF * b) for a, b in zip(told[sort], counts, strict=True))
    }
    assert far == {}, "python tests/bench/readings.py --write"


@pytest.mark.parametrize(
    ("sort", "share"),
    [
        ("of them the 200 that show the likeliest causes", 0.6),
        ("safety limits that state a figure", 0.6),
        ("safety limits, all", 0.6),
    ],
)
def test_most_of_the_common_inspections_and_of_the_safety_limits_rest_on_a_page(
    sort: str, share: float
) -> None:
    texts = sources(shipped_book())[sort]
    silent = [text for text in texts if kind(text) != PUBLISHED]
    assert len(silent) <= (1 - share) * len(texts), silent


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("a textbook, page 3, read in excerpt", PUBLISHED),
        ("common practice, no source", PRACTICE),
        ("common practice; on the mask: a leaflet, read in excerpt", PRACTICE),
        ("computed from Ohm's law", COMPUTED),
        ("from memory", MEMORY),
        ("meaning of the code from memory; frequencies from memory", MEMORY),
    ],
)
def test_a_source_counts_by_what_it_says(source: str, expected: str) -> None:
    assert kind(source) == expected
    assert expected in KINDS


@pytest.mark.parametrize(
    ("text", "states"),
    [
        ("Not more than 50 kPa (15 inHg) of vacuum.", True),
        ("One second on, five off.", True),
        ("A minute at idle, then back.", True),
        ("A teaspoon of oil, no more.", True),
        ("Through a lead with a fuse of 1 A at most.", True),
        ("The valve is as hot as the manifold.", False),
        ("Nothing yellow, nothing orange.", False),
        ("One at a time, or you will not know which it was.", False),
        ("A fuse of the same rating only.", False),
    ],
)
def test_a_limit_states_a_figure_where_a_number_has_a_unit(text: str, states: bool) -> None:
    assert bool(states_a_figure(text)) is states
