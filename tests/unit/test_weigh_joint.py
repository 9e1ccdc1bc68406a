"""Findings that stand for the joint event of what they subsume."""

from __future__ import annotations

import math

import pytest

from helpers_weigh import (
    a_book,
    a_sheet,
    close,
    code,
    concludes,
    fact,
    finding,
    normal,
    result,
    saw,
    seen_chance,
    symptom,
    weighs,
)
from proveout.model.atom import Observable
from proveout.model.belief import Evidence, Network
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.weigh.networks import network

A, B, C = code("P0001"), symptom("smell"), result("look")
CODE, SMELL, LOOK = Observable("code", "P0001"), Observable("symptom", "smell"), Observable("result", "look")
EACH = (
    weighs("a", A, {"x": 0.5, "y": 0.4}, 0.01),
    weighs("b", B, {"x": 0.6, "z": 0.3}, 0.02),
    weighs("c", C, {"y": 0.9, "z": 0.8}, 0.05),
)


def weigh(book: Book, sheet: Sheet) -> Network:
    return network(book, sheet, close(book, sheet))


def spoken(found: Network) -> dict[str, tuple[Observable, ...]]:
    """Return what speaks, and what it subsumes."""
    return {str(e.cpt.observable): e.subsumes for e in found.evidence}


def ratio(evidence: tuple[Evidence, ...], cause: str) -> float:
    """Return P(evidence | that cause alone) / P(evidence | none)."""
    return math.prod(seen_chance(e, [cause]) / seen_chance(e, []) for e in evidence)


def test_a_finding_speaks_for_what_it_absorbs() -> None:
    book = a_book(
        *EACH, concludes("f", "both", all_of=[A, B]), weighs("w", finding("both"), {"x": 0.55}, 0.001)
    )
    found = weigh(book, a_sheet(saw(A), saw(B), saw(C)))
    assert spoken(found) == {"finding both": (CODE, SMELL), "result look": ()}
    joint = found.evidence[0].cpt
    assert joint.states == ("true", "unlike")
    assert joint.given["x"] == (0.55, 0.0)
    assert joint.background == (0.001, 0.0)
    assert joint.spoke == {"": ("w",), "x": ("w",), "y": ("a",), "z": ("b",)}


def test_a_cause_that_the_finding_does_not_name_keeps_the_product() -> None:
    book = a_book(
        *EACH, concludes("f", "both", all_of=[A, B]), weighs("w", finding("both"), {"x": 0.55}, 0.0001)
    )
    (joint,) = weigh(book, a_sheet(saw(A), saw(B))).evidence
    y = (1 - 0.99 * (1 - 0.4)) * 0.02
    z = 0.01 * (1 - 0.98 * (1 - 0.3))
    assert seen_chance(joint, ["y"]) == pytest.approx(y, rel=1e-12)
    assert seen_chance(joint, ["z"]) == pytest.approx(z, rel=1e-12)
    assert seen_chance(joint, []) == pytest.approx(0.0001, rel=1e-12)
    assert seen_chance(joint, ["x"]) == pytest.approx(1 - 0.9999 * 0.45, rel=1e-12)


def test_the_background_is_the_product_where_the_finding_gives_none() -> None:
    book = a_book(*EACH, concludes("f", "both", all_of=[A, B]), weighs("w", finding("both"), {"x": 0.55}))
    found = weigh(book, a_sheet(saw(A), saw(B)))
    single = weigh(a_book(*EACH), a_sheet(saw(A), saw(B)))
    assert found.evidence[0].cpt.background == pytest.approx((0.01 * 0.02, 0.0))
    assert found.evidence[0].cpt.spoke[""] == ("a", "b")
    for cause in ("y", "z", "never-named"):
        assert ratio(found.evidence, cause) == pytest.approx(ratio(single.evidence, cause), rel=1e-12)


def test_a_negated_observable_is_absorbed_once_it_is_seen_normal() -> None:
    rules = (concludes("f", "only", all_of=[A], none_of=[C]), weighs("w", finding("only"), {"y": 0.3}, 0.005))
    book = a_book(*EACH, *rules)
    assert spoken(weigh(book, a_sheet(saw(A)))) == {"finding only": (CODE,)}
    seen = weigh(book, a_sheet(saw(A), normal(C)))
    assert spoken(seen)["finding only"] == (CODE, LOOK)
    assert spoken(weigh(book, a_sheet(saw(A), saw(C)))) == {"code P0001": (), "result look": ()}
    other = weigh(book, a_sheet(saw(A), saw(result("look", "worse"))))
    assert spoken(other) == {"finding only": (CODE,), "result look": ()}


def test_an_absorbed_normal_observation_still_clears_causes_the_finding_does_not_name() -> None:
    rules = (concludes("f", "only", all_of=[A], none_of=[C]), weighs("w", finding("only"), {"y": 0.3}))
    single = weigh(a_book(*EACH), a_sheet(saw(A), normal(C)))
    found = weigh(a_book(*EACH, *rules), a_sheet(saw(A), normal(C)))
    left = found.evidence[1].cpt
    assert (left.observable, left.given, left.background) == (LOOK, {"z": (0.8,)}, (0.0,))
    for cause in ("x", "z"):
        assert ratio(found.evidence, cause) == pytest.approx(ratio(single.evidence, cause), rel=1e-12)
    assert seen_chance(found.evidence[0], ["y"]) == pytest.approx(1 - (1 - 0.01 * 0.95) * 0.7, rel=1e-12)


def test_alternatives_that_hold_are_all_absorbed() -> None:
    book = a_book(
        *EACH, concludes("f", "some", any_of=[A, B, C]), weighs("w", finding("some"), {"x": 0.5}, 0.1)
    )
    assert spoken(weigh(book, a_sheet(saw(A), saw(C)))) == {"finding some": (CODE, LOOK)}


def test_a_finding_absorbs_through_other_findings() -> None:
    book = a_book(
        *EACH,
        concludes("f1", "first", all_of=[A]),
        concludes("f2", "second", all_of=[finding("first"), B]),
        weighs("w", finding("second"), {"x": 0.5}, 0.001),
    )
    assert spoken(weigh(book, a_sheet(saw(A), saw(B)))) == {"finding second": (CODE, SMELL)}


def test_of_overlapping_findings_the_one_absorbing_more_speaks() -> None:
    book = a_book(
        *EACH,
        concludes("f1", "aa-two", all_of=[A, B]),
        concludes("f2", "zz-three", all_of=[A, B, C]),
        weighs("w1", finding("aa-two"), {"x": 0.5}, 0.001),
        weighs("w2", finding("zz-three"), {"z": 0.5}, 0.001),
    )
    assert spoken(weigh(book, a_sheet(saw(A), saw(B), saw(C)))) == {"finding zz-three": (CODE, LOOK, SMELL)}


def test_ties_go_to_the_first_id_and_the_rest_speaks_for_itself() -> None:
    book = a_book(
        *EACH,
        concludes("f1", "two", all_of=[A, B]),
        concludes("f2", "one", all_of=[A, C]),
        weighs("w1", finding("two"), {"x": 0.5}, 0.001),
        weighs("w2", finding("one"), {"y": 0.5}, 0.001),
    )
    found = spoken(weigh(book, a_sheet(saw(A), saw(B), saw(C))))
    assert found == {"finding one": (CODE, LOOK), "symptom smell": ()}


def test_findings_that_share_nothing_both_speak() -> None:
    book = a_book(
        *EACH,
        concludes("f1", "one", all_of=[A]),
        concludes("f2", "two", all_of=[B]),
        weighs("w1", finding("one"), {"x": 0.5}, 0.001),
        weighs("w2", finding("two"), {"y": 0.5}, 0.001),
    )
    assert list(spoken(weigh(book, a_sheet(saw(A), saw(B))))) == ["finding one", "finding two"]


def test_a_finding_resting_on_another_speaks_in_its_place() -> None:
    """And causes that only the other names keep what it gave them, not what its parts gave."""
    book = a_book(
        *EACH,
        concludes("f1", "aa", all_of=[A, B]),
        concludes("f2", "bb", all_of=[finding("aa"), fact("old")]),
        weighs("w1", finding("aa"), {"y": 0.45}, 0.001),
        weighs("w2", finding("bb"), {"x": 0.5}),
    )
    (joint,) = weigh(book, a_sheet(saw(A), saw(B), context=[fact("old")])).evidence
    assert joint.cpt.observable == ("finding", "bb")
    assert joint.subsumes == (CODE, Observable("finding", "aa"), SMELL)
    assert joint.cpt.background == pytest.approx((0.001, 0.0))
    assert seen_chance(joint, ["y"]) == pytest.approx(1 - 0.999 * 0.55, rel=1e-12)


def test_a_finding_from_context_alone_absorbs_nothing() -> None:
    book = a_book(
        *EACH, concludes("f", "aged", all_of=[fact("old")]), weighs("w", finding("aged"), {"x": 0.5}, 0.1)
    )
    found = weigh(book, a_sheet(saw(A), context=[fact("old")]))
    assert spoken(found) == {"code P0001": (), "finding aged": ()}
    assert found.evidence[1].cpt.given == {"x": (0.5,)}


def test_an_unweighed_finding_is_context_only() -> None:
    book = a_book(
        *EACH, concludes("f", "seen", all_of=[A]), weighs("a2", A, {"x": 0.9}, all_of=[finding("seen")])
    )
    (only,) = weigh(book, a_sheet(saw(A))).evidence
    assert only.cpt.observable == CODE
    assert only.cpt.given == {"x": (0.9,), "y": (0.4,)}


def test_unweighed_observations_in_common_are_an_overlap_too() -> None:
    book = a_book(
        concludes("f1", "one", all_of=[A, B]),
        concludes("f2", "two", all_of=[A, B, C]),
        weighs("w1", finding("one"), {"x": 0.5}, 0.001),
        weighs("w2", finding("two"), {"y": 0.5}, 0.001),
    )
    assert list(spoken(weigh(book, a_sheet(saw(A), saw(B), saw(C))))) == ["finding two"]


def test_a_cause_of_another_state_of_an_absorbed_inspection_speaks_against_the_finding() -> None:
    """A cause that makes the other state likely makes this one rarer, subsumed or not."""
    other = weighs("c2", result("look", "worse"), {"w": 0.97}, 0.02)
    for otherwise, background in ((None, 0.05 * 0.01), (0.004, 0.004)):
        rules = (concludes("f", "both", all_of=[A, C]), weighs("d", finding("both"), {"x": 0.5}, otherwise))
        single = weigh(a_book(*EACH, other), a_sheet(saw(A), saw(C)))
        found = weigh(a_book(*EACH, other, *rules), a_sheet(saw(A), saw(C)))
        assert list(spoken(found)) == ["finding both"]
        assert ratio(single.evidence, "w") < 0.3
        assert ratio(found.evidence, "w") == pytest.approx(ratio(single.evidence, "w"), rel=1e-9)
        assert seen_chance(found.evidence[0], []) == pytest.approx(background, rel=1e-12)
        assert "w" not in found.priors


def test_a_common_background_does_not_lower_a_cause_below_it() -> None:
    book = a_book(
        *EACH, concludes("f", "both", all_of=[A, B]), weighs("w", finding("both"), {"x": 0.55}, 0.05)
    )
    (joint,) = weigh(book, a_sheet(saw(A), saw(B))).evidence
    assert [seen_chance(joint, h) for h in ([], ["y"], ["z"], ["q"])] == pytest.approx([0.05] * 4, rel=1e-12)
