"""Replaying advices, comparing with other rules, and the argument for a part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_book
from helpers_record import advice_of, at, triage_of
from proveout.audit.against import against
from proveout.audit.argument import argument
from proveout.audit.replay import Shelf, audit, differences
from proveout.model.book import Book
from proveout.record import casefile, snapshot
from proveout.record.advice import triage_digest
from proveout.record.deeds import last_advice, purchase_body
from proveout.record.documents import triage_document
from proveout.record.state import merged

VEHICLE = {"age_years": 3, "mileage_km": 50_000}
INTAKE = {"codes": ["P0455"], "vehicle": VEHICLE}


@dataclass
class Shop:
    """A case with two advices, its book's snapshot, and a changed book."""

    path: Path
    store: Path
    book: Book
    changed: Book


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    rules, store = write_book(tmp_path / "rules"), tmp_path / "store"
    taken = snapshot.take((rules,))
    book, kept = snapshot.book_of(taken), snapshot.keep(store, taken)
    path = tmp_path / "van.yaml"
    casefile.create(path, INTAKE, at(1))
    for n, inspection, result in ((2, "hose-look", "whole"), (4, "valve-holds", "leaks")):
        reading = {"inspection": inspection, "result": result}
        casefile.append(path, "reading", reading, at(n))
        body = advice_of(book, merged(casefile.read(path)))
        casefile.append(path, "advice", {**body, "snapshot": kept}, at(n + 1))
    edit = {"rules.yaml": [("weigh: {hose-cracked: 0.6}", "weigh: {hose-cracked: 0.9}")]}
    changed = snapshot.book_of(snapshot.take((write_book(tmp_path / "new" / "rules", edit=edit),)))
    return Shop(path, store, book, changed)


def test_an_untouched_case_replays_identically(shop: Shop) -> None:
    found = audit(shop.path, shop.store)
    assert found.clean and [replay.event.n for replay in found.replays] == [3, 5]
    assert all(replay.identical and replay.engine == "reference" for replay in found.replays)


def test_another_book_is_compared_but_not_blamed(shop: Shop) -> None:
    found = audit(shop.path, shop.store)
    assert found.clean
    first = against(found.verification.events, Shelf(shop.store), shop.changed)[0]
    cause, before, after = first.moved[0]
    assert cause == "hose-cracked" and before != after
    assert [how for _, how in first.rules] == ["changed"]


def test_today_s_book_serves_where_it_is_the_same(shop: Shop, tmp_path: Path) -> None:
    assert audit(shop.path, tmp_path / "none", today=shop.book).clean
    found = audit(shop.path, tmp_path / "none", today=shop.changed)
    assert not found.clean and "no snapshot" in found.replays[0].problem


def test_a_recorded_answer_that_the_rules_do_not_give_is_shown_exactly(shop: Shop) -> None:
    body = dict(casefile.read(shop.path)[-1].body)
    causes = [dict(cause) for cause in body["causes"]]
    true = causes[0]["confidence"]
    causes[0]["confidence"] = 0.123
    casefile.append(shop.path, "advice", {**body, "causes": causes}, at(6))
    found = audit(shop.path, shop.store)
    assert not found.clean and found.verification.sound
    (difference,) = found.replays[-1].differences
    assert (difference.where, difference.recorded, difference.now) == ("causes[0].confidence", 0.123, true)


def test_a_damaged_chain_is_reported_beside_the_replays(shop: Shop) -> None:
    shop.path.write_bytes(shop.path.read_bytes().replace(b"result: whole", b"result: loose"))
    found = audit(shop.path, shop.store)
    assert not found.clean and found.verification.first_bad == 2
    assert found.replays[0].differences


def test_a_cut_tail_shows_with_the_head(shop: Shop) -> None:
    events = casefile.read(shop.path)
    data = shop.path.read_bytes()
    shop.path.write_bytes(data[: data.index(b"---\nn: 5")])
    assert audit(shop.path, shop.store).clean
    assert not audit(shop.path, shop.store, head=events[-1].digest).clean


def test_an_altered_snapshot_is_a_problem_of_the_replay(shop: Shop) -> None:
    for path in (shop.store / "packs").iterdir():
        path.write_bytes(b"x")
    found = audit(shop.path, shop.store)
    assert not found.clean and "altered" in found.replays[0].problem


def test_differences_go_down_to_the_value() -> None:
    old = {"a": [1, {"b": 2}], "c": None, "d": True, "snapshot": "x"}
    new = {"a": [1, {"b": 3}], "d": 1, "e": "new", "snapshot": "y"}
    assert [(d.where, d.recorded, d.now) for d in differences(old, new)] == [
        ("a[1].b", 2, 3),
        ("d", True, 1),
        ("e", None, "new"),
    ]
    assert differences([1], [1, 2])[0].where == ""
    assert differences({"x": 1.0}, {"x": 1}) == ()


def test_the_digest_of_a_triage_is_the_same_wherever_rules_lie_and_whoever_chains(shop: Shop) -> None:
    whole = triage_document(triage_of(shop.book, INTAKE), shop.book)
    moved: dict[str, Any] = {**whole, "book": {**whole["book"], "engine": "other"}}
    moved["fired"] = [{**fired, "place": "/elsewhere"} for fired in whole["fired"]]
    assert triage_digest(moved) == triage_digest(whole)
    assert whole["fired"][0]["place"] != "/elsewhere"
    assert triage_digest({**whole, "not_in_book": 0.5}) != triage_digest(whole)


class TestArgument:
    """Why that part was bought."""

    def made(self, shop: Shop, cause: str, **purchase: Any) -> Any:
        events = casefile.read(shop.path)
        body = purchase_body(events, shop.book, cause, 44.9, **purchase)
        bought = casefile.append(shop.path, "purchase", body.kept(), at(6))
        advice = last_advice(events)
        assert advice is not None
        document: Mapping[str, Any] = merged(events, upto=advice.n - 1)
        answer = triage_of(shop.book, document)
        return argument(bought, advice, document, answer, shop.book, before=events), answer

    def test_facts_rules_and_ledger_are_those_of_the_triage(self, shop: Shop) -> None:
        found, answer = self.made(shop, "valve-leaks")
        assert sum(line.decibans for line in found.ledger) == pytest.approx(
            next(item.total for item in answer.ledgers if item.cause == "valve-leaks"), abs=1e-6
        )
        used = {item.rule.id: item for item in found.rules}
        fails = used["valve-fails"]
        assert fails.in_ledger and str(fails.rule.place).startswith("rules/rules.yaml:")
        assert fails.rule.layer == "book"
        assert found.confidence == answer.hypotheses[0].confidence > 0.9
        assert found.direct == "failed" and not found.against_verdict

    def test_alternatives_say_why_they_were_set_aside(self, shop: Shop) -> None:
        found, _ = self.made(shop, "valve-leaks")
        (hose,) = found.alternatives
        assert hose.cause == "hose-cracked" and hose.set_aside
        assert "came out sound" in hose.why

    def test_what_was_due_and_not_done_is_listed(self, shop: Shop) -> None:
        found, _ = self.made(shop, "hose-cracked", reason="had one")
        assert found.against_verdict and found.bought.reason == "had one"
        assert found.direct == "passed"
        (valve,) = found.alternatives
        assert not valve.set_aside and "showed it too" in valve.why

    def test_a_warranty_that_may_pay_is_reminded_of(self, shop: Shop) -> None:
        found, _ = self.made(shop, "valve-leaks")
        assert {item.term.id: item.stands for item in found.warranty} == {"us-federal-other": "over"}

    def test_before_any_inspection_it_says_what_was_not_checked(self, shop: Shop) -> None:
        book = shop.book
        advice = casefile.append(shop.path, "advice", advice_of(book, INTAKE), at(6))
        bought = casefile.append(
            shop.path, "purchase", {"cause": "valve-leaks", "part": "v", "cost": 1}, at(7)
        )
        found = argument(bought, advice, VEHICLE, triage_of(book, INTAKE), book)
        assert [(item.inspection, item.required) for item in found.unchecked] == [
            ("valve-holds", True),
            ("hose-look", False),
        ]
        assert found.against_verdict
