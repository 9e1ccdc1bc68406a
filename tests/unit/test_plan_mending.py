"""Mend and watch: what is plainly broken is put right, proven or not, and what shows then is evidence."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from msgspec.structs import replace

from helpers_plan import book_of, code_rule, sheet_of, weighing
from helpers_shipped import shipped_book
from proveout.model.advice import INSPECT, MEND, NONE, REFER, REPAIR, WATCH, Triage
from proveout.model.atom import STAYS_AWAY
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.entries import Access, Cause, Caution, Inspection, Range, Remedy, Result
from proveout.plan.advice import triage
from proveout.trial.world import with_mended
from proveout.weigh.inference import infer

FINE, BAD = Result("fine", True), Result("bad", False)
HOSE = Remedy("replace", "vacuum hose", Range(3, 4), 10)


def look(name: str, *shows: str, kind: str = "visual") -> Inspection:
    return Inspection(name, name, kind, dict.fromkeys(shows, ("bad",)), (FINE, BAD), 5)


def hose_book(remedy: Remedy = HOSE, kind: str = "visual") -> Book:
    """A catalyst, which explains the code and takes a drive to prove, and a hose that hardly bears on it."""
    causes = [
        Cause("hose-split", "Hose split", "hose", 0.003, "made up", remedy, before_buying=("smoke",)),
        Cause("catalyst-worn", "Catalyst worn", "catalyst", 0.03, "made up",
              Remedy("replace", "catalyst", Range(300, 500), 90)),
    ]  # fmt: skip
    looks = [
        look("hose-look", "hose-split", kind=kind),
        look("smoke", kind="functional"),
        look("catalyst-heat", "catalyst-worn", kind="measurement"),
    ]
    rules = [
        code_rule({"catalyst-worn": 0.85, "hose-split": 0.01}),
        weighing("hose-look", "bad", {"hose-split": 0.97}, 0.01),
        weighing("catalyst-heat", "bad", {"catalyst-worn": 0.9}, 0.02),
    ]
    book = book_of(causes, looks, rules, access=(Access("bay", "Engine bay", 2, ()),))
    cautions = {"airbag": Caution("airbag", "Airbags", "Stay away.", grave=True),
                "hot": Caution("hot", "Hot parts", "Let them cool.")}  # fmt: skip
    return replace(book, words=replace(book.words, cautions=cautions))


def answer(book: Book, sheet: Sheet) -> Triage:
    return triage(book, sheet, tools=frozenset(), costs=Costs(), engine="reference")


def seen(book: Book, results: Mapping[str, str] | None = None, repeated: tuple[str, ...] = ()) -> Sheet:
    return sheet_of({"hose-look": "bad", **(results or {})}, book=book, repeated=repeated)


def test_a_split_hose_seen_is_mended_though_it_is_not_proven_and_never_argued_with() -> None:
    book = hose_book()
    all_else = {"smoke": "fine", "catalyst-heat": "fine"}
    got = answer(book, seen(book, all_else, ("hose-look", "smoke", "catalyst-heat")))
    hose = next(s for s in got.hypotheses if s.cause == "hose-split")
    assert hose.confidence < 0.9
    assert (got.verdict.kind, got.verdict.cause, got.next) == (MEND, "hose-split", None)
    said = " ".join(got.verdict.reasons)
    assert "not proven to be the cause" in said and "plainly broken" in said
    assert "repeat it" not in said


def test_it_is_mended_before_inspections_that_cost_more_than_it_can_save() -> None:
    assert answer(hose_book(), seen(hose_book())).verdict.kind in (MEND, INSPECT)
    unseen = answer(hose_book(), sheet_of({"hose-look": "fine"}, book=hose_book()))
    assert unseen.verdict.kind == INSPECT


@pytest.mark.parametrize(
    "remedy",
    [
        replace(HOSE, part_cost=Range(3, 40)),
        replace(HOSE, minutes=75),
        replace(HOSE, cautions=("airbag",)),
        replace(HOSE, action="reprogram"),
        replace(HOSE, action="refer"),
    ],
)
def test_what_is_dear_slow_coded_or_of_a_system_of_safety_is_not(remedy: Remedy) -> None:
    book = hose_book(remedy)
    all_else = {"smoke": "fine", "catalyst-heat": "fine"}
    assert answer(book, seen(book, all_else, ("hose-look", "smoke", "catalyst-heat"))).verdict.kind == REFER


@pytest.mark.parametrize("remedy", [replace(HOSE, cautions=("hot",)), replace(HOSE, minutes=45)])
def test_an_ordinary_caution_stands_in_no_ones_way_nor_an_hour_before_handing_over(remedy: Remedy) -> None:
    book = hose_book(remedy)
    all_else = {"smoke": "fine", "catalyst-heat": "fine"}
    assert answer(book, seen(book, all_else, ("hose-look", "smoke", "catalyst-heat"))).verdict.kind == MEND


def test_the_shipped_book_says_which_cautions_are_grave() -> None:
    """Systems of safety, what is under pressure, what may not be run on: common practice, no source."""
    grave = {name for name, entry in shipped_book().words.cautions.items() if entry.grave}
    assert {
        "airbag",
        "brakes",
        "fuel-pressure",
        "high-voltage",
        "hot-cooling-system",
        "low-oil-pressure",
    } <= grave
    assert not {"hot-engine", "brittle-plastic", "fuel-vapour"} & grave


def test_what_was_only_measured_is_not_replaced_without_proof() -> None:
    all_else = {"smoke": "fine", "catalyst-heat": "fine"}
    every = ("hose-look", "smoke", "catalyst-heat")
    for kind in ("measurement", "functional", "swap"):
        book = hose_book(kind=kind)
        assert answer(book, seen(book, all_else, every)).verdict.kind != MEND
    tightened = Remedy("tighten", minutes=5)
    book = hose_book(tightened, "measurement")
    assert answer(book, seen(book, all_else, every)).verdict.kind == MEND
    book = hose_book(tightened, "swap")
    assert answer(book, seen(book, all_else, every)).verdict.kind != MEND


def test_while_it_is_watched_nothing_else_is_asked_for() -> None:
    book = hose_book()
    got = answer(book, with_mended(seen(book), "hose-split", ""))
    assert (got.verdict.kind, got.verdict.cause, got.next) == (WATCH, "hose-split", None)


def ledger_line(got: Triage, cause: str) -> float:
    column = next(ledger for ledger in got.ledgers if ledger.cause == cause)
    return sum(entry.decibans for entry in column.entries if entry.what == "watch hose-split")


def test_whether_it_stays_away_stands_in_the_ledger_for_and_against() -> None:
    book = hose_book()
    away = answer(book, with_mended(seen(book), "hose-split", STAYS_AWAY))
    assert ledger_line(away, "hose-split") > 0 > ledger_line(away, "catalyst-worn")
    assert (away.verdict.kind, away.verdict.cause) == (NONE, "hose-split")
    back = answer(book, with_mended(seen(book), "hose-split", "comes-back"))
    assert ledger_line(back, "hose-split") < 0 < ledger_line(back, "catalyst-worn")
    assert all(abs(sum(e.decibans for e in one.entries) - one.total) < 1e-9 for one in back.ledgers)
    assert back.verdict.kind == INSPECT and back.next is not None
    assert back.next.inspection == "catalyst-heat"
    hose = next(s for s in back.hypotheses if s.cause == "hose-split")
    assert hose.mended


def test_what_was_mended_is_neither_mended_again_nor_bought() -> None:
    book = hose_book()
    all_else = {"smoke": "fine", "catalyst-heat": "fine"}
    sheet = with_mended(
        seen(book, all_else, ("hose-look", "smoke", "catalyst-heat")), "hose-split", "comes-back"
    )
    got = answer(book, sheet)
    assert got.verdict.kind not in (MEND, REPAIR)


def test_it_is_weighed_by_the_shares_stated() -> None:
    """Hose alone against catalyst alone: stays away with 0.95 to 0.25, comes back with 0.05 to 0.75."""
    book = hose_book()

    def ratio(sheet: Sheet) -> float:
        found = infer(book, sheet, "reference").posterior
        odds = dict(zip(map(tuple, found.member.tolist()), found.prob.tolist(), strict=True))
        assert found.causes == ("catalyst-worn", "hose-split")
        return float(odds[False, True] / odds[True, False])

    before = ratio(seen(book))
    assert ratio(with_mended(seen(book), "hose-split", STAYS_AWAY)) == pytest.approx(before * 0.95 / 0.25)
    assert ratio(with_mended(seen(book), "hose-split", "comes-back")) == pytest.approx(before * 0.05 / 0.75)
    assert ratio(with_mended(seen(book), "hose-split", "")) == pytest.approx(before)
