"""Which evidence counts, which causes are in play and how likely they are before it."""

from __future__ import annotations

import pytest

from helpers_weigh import (
    a_book,
    a_cause,
    a_sheet,
    close,
    code,
    fact,
    normal,
    replaced,
    result,
    saw,
    torn,
    weighs,
)
from proveout.model.atom import Atom
from proveout.model.belief import Network
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.entries import Component, Factor
from proveout.model.rule import When
from proveout.weigh.networks import network
from proveout.weigh.posteriors import posterior

LEAK = code("P0442")
OLD = fact("vehicle.age at_least 12 y")


def weigh(book: Book, sheet: Sheet) -> Network:
    return network(book, sheet, close(book, sheet))


def prior(base_rate: float, *facts: Atom, factors: tuple[Factor, ...] = ()) -> float:
    """Return the prior of one cause of the cap in a case with these facts."""
    cause = a_cause("cap", base_rate, "filler-cap", factors)
    book = a_book(
        weighs("r", LEAK, {"cap": 0.5}), causes=[cause], components=[Component("filler-cap", "", (), 0.04)]
    )
    return weigh(book, a_sheet(saw(LEAK), context=facts)).priors["cap"]


def test_the_base_rate_is_the_prior() -> None:
    assert prior(0.02) == pytest.approx(0.02, rel=1e-15)


def test_factors_that_hold_multiply_the_odds() -> None:
    factors = (Factor(When((OLD,)), 3.0), Factor(When((fact("wet"),)), 5.0))
    assert prior(0.02, factors=factors) == pytest.approx(0.02)
    assert prior(0.02, OLD, factors=factors) == pytest.approx(3 * 0.02 / 0.98 / (1 + 3 * 0.02 / 0.98))
    assert prior(0.02, OLD, fact("wet"), factors=factors) == pytest.approx(15 * 0.02 / (0.98 + 15 * 0.02))


def test_the_prior_is_capped() -> None:
    assert prior(0.2, OLD, factors=(Factor(When((OLD,)), 30.0),)) == 0.5
    assert prior(0.7) == 0.5


def test_a_replaced_component_is_as_bad_as_a_new_one() -> None:
    assert prior(0.02, replaced("filler-cap")) == pytest.approx(0.04 * 0.02 / 0.98 / (1 + 0.04 * 0.02 / 0.98))
    assert prior(0.02, replaced("hose")) == pytest.approx(0.02)


def test_replacing_a_part_raises_what_it_does_not_cure() -> None:
    causes = [a_cause("cap", 0.03, "filler-cap"), a_cause("hose", 0.01, "hose")]
    rules = weighs("r", LEAK, {"cap": 0.6, "hose": 0.6}, 0.0005)
    book = a_book(rules, causes=causes, components=[Component("filler-cap", "", (), 0.04)])
    before = posterior(weigh(book, a_sheet(saw(LEAK)))).confidence()
    after = posterior(weigh(book, a_sheet(saw(LEAK), context=[replaced("filler-cap")]))).confidence()
    assert before["cap"] > 0.7 > before["hose"]
    assert after["cap"] < 0.15 < 0.8 < after["hose"]


BOOK = a_book(
    weighs("r1", LEAK, {"cap": 0.5, "hose": 0.5}, 0.001),
    weighs("r2", result("cap-seal"), {"cap": 0.9}, 0.02),
    weighs("r3", result("cap-seal", "worse"), {"wrong-cap": 0.9}, 0.02),
)


def test_an_abnormal_observation_puts_its_causes_in_play() -> None:
    assert list(weigh(BOOK, a_sheet(saw(LEAK))).priors) == ["cap", "hose"]
    assert list(weigh(BOOK, a_sheet(saw(result("cap-seal", "worse")))).priors) == ["wrong-cap"]


def test_a_normal_observation_puts_nothing_in_play_and_still_counts() -> None:
    found = weigh(BOOK, a_sheet(normal(result("cap-seal"))))
    assert found.priors == {}
    assert [str(e.cpt.observable) for e in found.evidence] == ["result cap-seal"]


def test_a_reading_near_a_limit_puts_both_its_causes_in_play() -> None:
    found = weigh(BOOK, a_sheet(torn("cap-seal", ok=0.6, bad=0.3, worse=0.1)))
    assert list(found.priors) == ["cap", "wrong-cap"]
    assert found.evidence[0].weights == (("bad", 0.3), ("ok", 0.6), ("worse", 0.1))


def test_an_inspection_that_told_nothing_is_no_evidence() -> None:
    nothing = saw(result("cap-seal", "cannot-tell"))
    assert weigh(BOOK, a_sheet(saw(LEAK), nothing)) == weigh(BOOK, a_sheet(saw(LEAK)))


def test_what_nothing_weighs_is_no_evidence() -> None:
    assert weigh(BOOK, a_sheet(saw(LEAK), saw(code("P1999")))) == weigh(BOOK, a_sheet(saw(LEAK)))


def test_evidence_stands_in_canonical_order_with_what_was_said() -> None:
    found = weigh(BOOK, a_sheet(saw(result("cap-seal"), "cracked"), saw(LEAK)))
    assert [(e.cpt.observable, e.said) for e in found.evidence] == [
        (("code", "P0442"), ""),
        (("result", "cap-seal"), "cracked"),
    ]


@pytest.mark.parametrize(("causes", "at_once"), [(1, 3), (40, 3), (41, 2), (150, 2), (400, 2), (401, 1)])
def test_the_largest_set_falls_with_the_causes_in_play(causes: int, at_once: int) -> None:
    book = a_book(weighs("r", LEAK, {f"c{i:03}": 0.1 for i in range(causes)}, 0.001))
    assert weigh(book, a_sheet(saw(LEAK))).at_once == at_once
