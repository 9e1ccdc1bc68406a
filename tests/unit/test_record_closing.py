"""Buying, repairing, verifying, closing: what may be said when."""

from __future__ import annotations

from typing import Any

import pytest

from helpers_book import write_book
from helpers_record import chain_of
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.record.closing import close_body, confirmation, direct_evidence, is_closed
from proveout.record.deeds import purchase_body, repair_body, verification_body
from proveout.record.state import merged

LEAKS = ("reading", {"inspection": "valve-holds", "value": "-12 kPa"})
ADVICE = ("advice", {"verdict": {"kind": "repair", "cause": "valve-leaks", "reasons": []}})
INTAKE = {"codes": ["P0442", {"code": "P0455", "status": "permanent"}]}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    edit = {"evap.codes.yaml": [("family: evap", "family: evap\n  monitor: evap")]}
    return load_book(base=write_book(tmp_path_factory.mktemp("book") / "rules", edit=edit))


def repaired(book: Book, *after: tuple[str, dict[str, Any]]) -> Any:
    before = chain_of(LEAKS, ADVICE, intake=INTAKE)
    return chain_of(
        LEAKS, ADVICE, ("repair", repair_body(before, book, "valve-leaks").kept()), *after, intake=INTAKE
    )


def verified(**changes: Any) -> tuple[str, dict[str, Any]]:
    whole = {
        "repeated": [{"inspection": "valve-holds", "value": "-60 kPa"}],
        "codes_cleared": True,
        "codes_now": [],
        "codes_read": True,
        "driven_km": 40,
        "monitors_run": ["evap"],
    }
    return "verification", {**whole, **changes}


def refused(error: pytest.ExceptionInfo[BadInputError]) -> str:
    return error.value.problems[0].check


class TestBuying:
    """A purchase against the verdict is recorded with its reason."""

    def test_with_the_verdict_no_reason_is_asked(self, book: Book) -> None:
        body = purchase_body(chain_of(ADVICE), book, "valve-leaks", 44.9)
        assert body.kept() == {
            "part": "shut-off valve",
            "cause": "valve-leaks",
            "cost": 44.9,
            "against_verdict": False,
        }

    @pytest.mark.parametrize("events", [(), (("advice", {"verdict": {"kind": "inspect", "cause": ""}}),)])
    def test_against_it_a_reason_is_asked(self, events: Any, book: Book) -> None:
        with pytest.raises(BadInputError) as caught:
            purchase_body(chain_of(*events), book, "valve-leaks", 44.9, reason="  ")
        assert refused(caught) == "reason-missing"
        body = purchase_body(chain_of(*events), book, "valve-leaks", 44.9, reason="customer wants it")
        assert body.against_verdict and body.reason == "customer wants it"

    def test_another_cause_than_the_advised_is_against_it(self, book: Book) -> None:
        assert purchase_body(chain_of(ADVICE), book, "hose-cracked", 5, reason="at hand").against_verdict

    @pytest.mark.parametrize("cost", [-1, float("nan"), float("inf")])
    def test_costs_must_be_costs(self, cost: float, book: Book) -> None:
        with pytest.raises(BadInputError):
            purchase_body(chain_of(ADVICE), book, "valve-leaks", cost)

    def test_unknown_causes_are_named(self, book: Book) -> None:
        with pytest.raises(BadInputError, match="valve-leaks"):
            purchase_body(chain_of(), book, "valve-leak", 5)


class TestRepairing:
    """A repair says what it makes of earlier readings."""

    def test_a_replaced_part_is_new_and_its_old_readings_are_void(self, book: Book) -> None:
        events = repaired(book)
        assert events[-1].body["component"] == "valve"
        assert merged(events)["replaced"] == ["valve"]
        assert "readings" not in merged(events)

    def test_a_repair_that_replaces_nothing_does_not_say_so(self, book: Book) -> None:
        body = repair_body(chain_of(), book, "hose-cracked", minutes=10, note="clamp")
        assert body.kept() == {
            "cause": "hose-cracked",
            "action": "repair",
            "voids": ["hose-look"],
            "minutes": 10,
            "note": "clamp",
        }


class TestConfirming:
    """A repair is confirmed only by its verification."""

    def test_everything_done_confirms(self, book: Book) -> None:
        found = confirmation(repaired(book, verified()), book)
        assert found.confirmed and found.cause == "valve-leaks"
        assert found.shown_by == (("valve-holds", "leaks"),)

    def test_a_permanent_code_may_still_be_stored(self, book: Book) -> None:
        now = [{"code": "P0455", "status": "permanent"}]
        assert confirmation(repaired(book, verified(codes_now=now)), book).confirmed

    @pytest.mark.parametrize(
        ("changes", "missing"),
        [
            ({"repeated": []}, "“Valve holds vacuum” gave “leaks” before"),
            ({"repeated": [{"inspection": "valve-holds", "result": "leaks"}]}, "repeated, but gave “leaks”"),
            ({"repeated": [{"inspection": "hose-look", "result": "whole"}]}, "must be repeated"),
            ({"codes_cleared": False}, "not cleared"),
            ({"codes_now": ["P0442"]}, "P0442 is stored again"),
            ({"codes_now": [{"code": "P0442", "status": "pending"}]}, "P0442 is stored again"),
            ({"monitors_run": []}, "evap monitor has not run"),
            ({"codes_read": False}, "not read again"),
            ({"driven_km": 5}, "P0455 asks for a drive of 20 km after clearing; 5 are known"),
        ],
    )
    def test_what_is_missing_is_said(self, changes: dict[str, Any], missing: str, book: Book) -> None:
        found = confirmation(repaired(book, verified(**changes)), book)
        assert not found.confirmed
        assert len(found.missing) == 1 and missing in found.missing[0]

    def test_several_verifications_add_up_but_the_last_reading_of_codes_counts(self, book: Book) -> None:
        first, later = verified(monitors_run=[], driven_km=12), verified(repeated=[], driven_km=10)
        assert confirmation(repaired(book, first, later), book).confirmed
        again = verified(codes_now=["P0442"])
        assert not confirmation(repaired(book, verified(), again), book).confirmed

    def test_a_verification_before_the_repair_does_not_count(self, book: Book) -> None:
        events = chain_of(LEAKS, verified(), ("repair", {"cause": "valve-leaks"}), intake=INTAKE)
        assert confirmation(events, book).missing == ("No verification is recorded after the repair.",)

    def test_without_direct_evidence_a_proving_inspection_must_be_normal_now(self, book: Book) -> None:
        repair = ("repair", {"cause": "valve-leaks"})
        assert confirmation(chain_of(repair, verified(), intake=INTAKE), book).confirmed
        found = confirmation(chain_of(repair, verified(repeated=[]), intake=INTAKE), book)
        assert "one of these must come out normal now: Valve holds vacuum" in found.missing[0]

    def test_no_repair_no_confirmation(self, book: Book) -> None:
        assert not confirmation(chain_of(LEAKS), book).confirmed
        assert not confirmation(chain_of(("repair", {"cause": "gremlins"})), book).confirmed

    def test_a_withdrawn_reading_is_no_evidence(self, book: Book) -> None:
        assert direct_evidence(chain_of(LEAKS), book, "valve-leaks")
        assert not direct_evidence(chain_of(LEAKS, ("withdrawal", {"event": 2})), book, "valve-leaks")


class TestVerifying:
    """What goes into a verification is checked like an intake."""

    def test_it_needs_a_repair(self, book: Book) -> None:
        with pytest.raises(BadInputError) as caught:
            verification_body(chain_of(LEAKS), book)
        assert refused(caught) == "no-repair"

    def test_unknown_ids_are_named(self, book: Book) -> None:
        with pytest.raises(BadInputError, match="unknown-id"):
            verification_body(repaired(book), book, repeated=[{"inspection": "x", "result": "y"}])
        with pytest.raises(BadInputError, match="unknown-id"):
            verification_body(repaired(book), book, monitors_run=["exhaust"])

    def test_a_whole_one(self, book: Book) -> None:
        kind, body = verified()
        assert verification_body(repaired(book), book, **body).kept() == body
        assert confirmation(repaired(book, (kind, body)), book).confirmed


class TestClosing:
    """A case ends confirmed only where its repair is."""

    def test_confirmed_takes_the_repaired_cause(self, book: Book) -> None:
        assert close_body(repaired(book, verified()), book, "confirmed").kept() == {
            "outcome": "confirmed",
            "cause": "valve-leaks",
        }

    def test_unconfirmed_repairs_do_not_close_as_confirmed(self, book: Book) -> None:
        with pytest.raises(BadInputError, match="No verification") as caught:
            close_body(repaired(book), book, "confirmed")
        assert refused(caught) == "not-confirmed"
        assert close_body(repaired(book), book, "not-confirmed", note="moved away").note == "moved away"

    def test_another_cause_than_the_repaired_is_refused(self, book: Book) -> None:
        with pytest.raises(BadInputError, match="not of “Hose cracked”"):
            close_body(repaired(book, verified()), book, "confirmed", "hose-cracked")

    @pytest.mark.parametrize(
        ("outcome", "cause", "check"),
        [("happy", "", "unknown-outcome"), ("referred", "gremlins", "unknown-id")],
    )
    def test_unknown_words_are_named(self, outcome: str, cause: str, check: str, book: Book) -> None:
        with pytest.raises(BadInputError) as caught:
            close_body(chain_of(), book, outcome, cause)
        assert refused(caught) == check

    def test_a_closed_case_stays_closed_until_something_is_done(self, book: Book) -> None:
        close = ("close", {"outcome": "referred"})
        assert not is_closed(chain_of(LEAKS))
        assert is_closed(chain_of(close)) and is_closed(chain_of(close, ("note", {"text": "paid"})))
        assert not is_closed(chain_of(close, LEAKS))
        with pytest.raises(BadInputError) as caught:
            close_body(chain_of(close), book, "referred")
        assert refused(caught) == "closed-before"


def test_the_book_of_these_tests_has_a_monitor(book: Book) -> None:
    assert book.words.codes["P0442"].monitor == "evap"
