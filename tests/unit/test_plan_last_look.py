"""The last look before a part is bought: by hand, by brute force, and as advice."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from helpers_dp import beside, every_set, random_job
from helpers_plan import book_of, code_rule, sheet_of, weighing
from proveout.model.advice import INSPECT, NONE, REFER, REPAIR, Triage
from proveout.model.book import Book
from proveout.model.case import Costs
from proveout.model.entries import Cause, Inspection, Range, Remedy, Result
from proveout.plan.advice import triage
from proveout.plan.last_look import DOUBT, parts_saved
from proveout.plan.moves import inspect
from proveout.plan.problem import fresh


def test_what_a_look_at_the_other_cause_keeps_from_buying() -> None:
    """Fault b is seen by its own look with 0.9, and by mistake with 0.02; a is held for proven."""
    job, start = random_job(1, causes=2, checks=1, at_once=2)
    seen = 0.02 + 0.88 * job.sets.member[:, 1]
    likes = (np.column_stack([1 - seen, seen]),)
    job = replace(job, **beside(likes, (np.zeros((2, 2), dtype=bool),)), threshold=np.full(2, 0.9))
    start = fresh(job, np.array([0.02, 0.93, 0.04, 0.01]))
    needless, needed = 0.02 * 0.02 + 0.04 * 0.9, 0.93 * 0.02 + 0.01 * 0.9
    assert parts_saved(job, start, 0)[0] == pytest.approx(9 * DOUBT * needless - needed)


def test_only_what_could_take_the_part_below_its_standard_keeps_from_buying() -> None:
    idle = telling = 0
    for seed in range(200):
        job, start = random_job(seed)
        assert np.array_equal(job.sets.member, every_set(len(job.causes), int(job.sets.member.sum(1).max())))
        for cause in range(len(job.causes)):
            held, standard = job.sets.held[:, cause], job.threshold[cause]
            weight = start.weight[0] * np.where(held, 1.0, 0.0)
            sure = 1.0 - 0.5 * (1.0 - standard)
            rest = start.weight[0] - weight
            weight = weight / weight.sum() * sure + rest / rest.sum() * (1.0 - sure)
            now = replace(start, weight=weight[None, :])
            saved = parts_saved(job, now, cause)
            for check in range(len(job.checks)):
                after = inspect(job, now, check).weight
                needed, mass = after @ held, after.sum(axis=1)
                odds = DOUBT * standard / (1.0 - standard)
                below = needed < (mass - needed) * odds * (1 - 1e-9)
                by_force = ((mass - needed) * odds - needed)[below].sum()
                assert saved[check] == pytest.approx(by_force, abs=1e-9)
                assert -1e-9 <= saved[check] <= (1.0 - sure) * odds
                idle, telling = idle + (not below.any()), telling + bool(below.any())
    assert min(idle, telling) > 100


def book_with(price: float, action: str = "replace") -> Book:
    """Return a book of a pump of some price and its plug, its test and two looks, one of them idle."""
    fine, bad = Result("fine", True), Result("bad", False)
    pump = Remedy(action, "pump", Range(price, price), 10)
    return book_of(
        [
            Cause("pump-weak", "Pump weak", "pump", 0.02, "made up", pump, before_buying=("pump-test",)),
            Cause("plug-dirty", "Plug dirty", "plug", 0.01, "made up", Remedy("clean", minutes=10)),
        ],
        [
            Inspection("pump-test", "Pump delivers", "measurement", {"pump-weak": ("bad",)}, (fine, bad), 10),
            Inspection("plug-look", "Look into the plug", "visual", {"plug-dirty": ("bad",)}, (fine, bad), 5),
            Inspection("tap-look", "Tap it and listen", "functional", {}, (fine, bad), 1),
        ],
        [
            code_rule({"pump-weak": 0.8, "plug-dirty": 0.8}),
            weighing("pump-test", "bad", {"pump-weak": 0.95}, 0.1),
            weighing("plug-look", "bad", {"plug-dirty": 0.9}, 0.02),
            weighing("tap-look", "bad", {"pump-weak": 0.5, "plug-dirty": 0.5}, 0.05),
        ],
    )


def answer(book: Book, **more: str) -> Triage:
    results = {"pump-test": "bad", **{name.replace("_", "-"): result for name, result in more.items()}}
    return triage(book, sheet_of(results, book=book), tools=frozenset(), costs=Costs(), engine="reference")


def test_from_some_price_on_what_could_be_wrong_instead_is_inspected_first() -> None:
    prices = np.geomspace(1, 2000, 30).tolist()
    asked = {price: answer(book_with(price)).next for price in prices}
    put_off = [price for price, step in asked.items() if step is not None]
    assert 0 < len(put_off) < len(prices)
    assert put_off == prices[-len(put_off) :]
    assert {step.inspection for step in asked.values() if step is not None} == {"plug-look"}


def test_a_last_look_says_what_it_is_for_and_gives_way_to_the_purchase() -> None:
    dear = book_with(200.0)
    got = answer(dear)
    assert (got.verdict.kind, got.verdict.cause) == (INSPECT, "")
    first = "Pump weak is as good as proven; before its part is bought, make “Look into the plug”"
    assert got.verdict.reasons[0].startswith(first)
    assert "it may still be something else (5 %)" in got.verdict.reasons[0]
    assert got.next is not None and "is not needed; here a needless part counts 11 times" in got.next.why
    assert got.next.expected_saving == pytest.approx(got.next.worth) and got.next.worth > 0
    assert got.next.inspection not in {one.inspection for one in got.others}
    sure = answer(dear, plug_look="fine")
    assert (sure.verdict.kind, sure.verdict.cause) == (REPAIR, "pump-weak")
    assert answer(dear, plug_look="bad").verdict.cause != "pump-weak"


@pytest.mark.parametrize(("action", "kind"), [("repair", REPAIR), ("refer", REFER), ("nothing", NONE)])
def test_where_no_part_is_bought_nothing_is_put_off(action: str, kind: str) -> None:
    assert answer(book_with(200.0, action)).verdict.kind == kind


def test_a_plain_defect_that_is_cheap_to_put_right_is_not_argued_with() -> None:
    """The test of the pump is made a look: what is plainly broken, and cheap, is put right all the same."""
    kinds = {}
    for kind in ("visual", "measurement"):
        book = book_with(25.0)
        seen = replace(book.inspections["pump-test"], kind=kind)
        book = replace(book, inspections={**book.inspections, "pump-test": seen})
        kinds[kind] = answer(book).verdict.kind
    assert kinds == {"visual": REPAIR, "measurement": INSPECT}
