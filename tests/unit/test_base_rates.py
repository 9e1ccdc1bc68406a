"""Base rates against the three estimates that were made without sight of them or of each other."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from math import exp, log
from statistics import fmean

import pytest

from helpers_shipped import shipped_book
from proveout.book.shipped import rules_dir

#: Stated factors are rounded up to a few steps, rates to two figures.
ROUNDING = 1.06
#: A rate was moved where it was off by more than this, to half of that in the logarithm.
MOVED = 4.2


def estimates() -> dict[str, list[float]]:
    with (rules_dir() / "judgements" / "base-rate-estimates.csv").open(
        encoding="utf-8", newline=""
    ) as stream:
        return {
            row["cause"]: [float(row[name]) for name in ("first", "second", "third") if row[name]]
            for row in csv.DictReader(stream)
        }


@pytest.fixture(scope="module")
def rates() -> Mapping[str, tuple[float, float]]:
    return {name: (one.base_rate * 1000, one.base_rate_off) for name, one in shipped_book().causes.items()}


def test_what_is_stated_of_a_rate_covers_every_estimate(rates: Mapping[str, tuple[float, float]]) -> None:
    wrong = {}
    for name, made in estimates().items():
        rate, off = rates.get(name, (1.0, 0.0))
        if off and any(max(one / rate, rate / one) > off * ROUNDING for one in made):
            wrong[name] = (rate, off, made)
    assert wrong == {}


def test_every_rate_says_how_far_it_may_be_off(rates: Mapping[str, tuple[float, float]]) -> None:
    silent = [name for name, (_, off) in rates.items() if not off]
    assert silent == []


def test_no_rate_is_far_from_what_three_readers_think(rates: Mapping[str, tuple[float, float]]) -> None:
    """Off by no more than what was left standing, whoever changes a rate."""
    far = {}
    for name, made in estimates().items():
        if name in rates and rates[name][1]:
            middle, rate = exp(fmean(map(log, made))), rates[name][0]
            if max(middle / rate, rate / middle) > MOVED * ROUNDING:
                far[name] = (rate, middle)
    assert far == {}


def test_no_rate_is_said_to_be_held_against_estimates_that_were_never_made() -> None:
    said = {name for name, one in shipped_book().causes.items() if "estimates" in one.base_rate_source}
    assert said and said <= estimates().keys()
