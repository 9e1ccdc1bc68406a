"""The part is what is bought: faults of one part count together, and a look needs its roots inspected."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from helpers_plan import book_of, code_rule, sheet_of, weighing
from proveout.model.advice import INSPECT, REPAIR, Triage
from proveout.model.book import Book
from proveout.model.case import Costs
from proveout.model.entries import Cause, Inspection, Range, Remedy, Result
from proveout.plan.advice import triage
from proveout.record.deeds import purchase_body
from proveout.record.event import NO_PREVIOUS, seal

FINE, BAD = Result("fine", True), Result("bad", False)
PUMP = Remedy("replace", "pump", Range(100, 140), 60)
PLUG = Remedy("replace", "plug", Range(8, 12), 20)
INJECTOR = Remedy("replace", "injector", Range(80, 120), 60)


def look(name: str, *shows: str, kind: str = "measurement", minutes: float = 5) -> Inspection:
    return Inspection(name, name, kind, dict.fromkeys(shows, ("bad",)), (FINE, BAD), minutes)


def pump_book(other: Remedy = PUMP) -> Book:
    """Two faults of a pump that one measurement shows alike, and a wire."""
    causes = [
        Cause("pump-weak", "Pump weak", "pump", 0.011, "made up", PUMP, before_buying=("wire-volts",)),
        Cause("pump-noisy", "Pump noisy", "pump", 0.009, "made up", other, before_buying=("wire-volts",)),
        Cause("wire-open", "Wire open", "wire", 0.01, "made up", Remedy("repair", minutes=30)),
    ]
    looks = [look("pump-pressure", "pump-weak", "pump-noisy"), look("wire-volts", "wire-open")]
    rules = [
        code_rule({"pump-weak": 0.85, "pump-noisy": 0.85, "wire-open": 0.6}),
        weighing("pump-pressure", "bad", {"pump-weak": 0.97, "pump-noisy": 0.97}, 0.005),
        weighing("wire-volts", "bad", {"wire-open": 0.97}, 0.005),
    ]
    return book_of(causes, looks, rules)


def answer(book: Book, results: Mapping[str, str], repeated: tuple[str, ...] = ()) -> Triage:
    sheet = sheet_of(results, book=book, repeated=repeated)
    return triage(book, sheet, tools=frozenset(), costs=Costs(), engine="reference")


SHOWN = {"pump-pressure": "bad", "wire-volts": "fine"}


def test_two_faults_of_one_part_prove_the_part_though_neither_is_proven() -> None:
    got = answer(pump_book(), SHOWN)
    weak = got.hypotheses[0]
    assert (weak.cause, weak.counted) == ("pump-weak", ("pump-noisy",))
    assert weak.confidence < 0.6 < 0.9 <= weak.part
    assert (got.verdict.kind, got.verdict.cause) == (REPAIR, "pump-weak")
    said = got.verdict.reasons[0]
    assert "pump, confidence" in said and said.index("Pump weak") < said.index("Pump noisy")
    assert "proven as well" not in " ".join(got.verdict.reasons)


def test_faults_with_different_remedies_do_not_count_together() -> None:
    other = Remedy("replace", "pump motor", Range(100, 140), 60)
    for remedy in (other, Remedy("repair", minutes=60)):
        got = answer(pump_book(remedy), SHOWN, tuple(SHOWN))
        assert got.hypotheses[0].counted == ()
        assert got.verdict.kind != REPAIR


def test_the_part_is_not_proven_before_what_any_of_its_faults_asks_for_is_inspected() -> None:
    book = pump_book()
    entry = replace(book.causes["pump-noisy"], before_buying=("wire-volts", "pump-fuse"))
    more = replace(
        book,
        causes={**book.causes, "pump-noisy": entry},
        inspections={**book.inspections, "pump-fuse": look("pump-fuse")},
    )
    got = answer(more, SHOWN)
    assert "pump-fuse" in got.hypotheses[0].missing
    assert got.verdict.kind == INSPECT
    assert got.next is not None and got.next.inspection == "pump-fuse"
    assert answer(more, {**SHOWN, "pump-fuse": "fine"}).verdict.kind == REPAIR


def plug_book(kind: str = "visual") -> Book:
    """A fouled plug that a look shows, and an injector that fouls plugs, which the look does not prove."""
    causes = [
        Cause("plug-fouled", "Plug fouled", "plug", 0.02, "made up", PLUG),
        Cause("injector-drips", "Injector drips", "injector", 0.01, "made up", INJECTOR),
    ]
    looks = [
        look("plug-look", "plug-fouled", kind=kind),
        look("injector-holds", "injector-drips", minutes=15),
    ]
    rules = [
        code_rule({"plug-fouled": 0.85, "injector-drips": 0.85}),
        weighing("plug-look", "bad", {"plug-fouled": 0.9, "injector-drips": 0.3}, 0.005),
        weighing("injector-holds", "bad", {"injector-drips": 0.97}, 0.005),
    ]
    return book_of(causes, looks, rules)


def test_what_a_look_could_be_a_consequence_of_is_inspected_before_it_is_proof() -> None:
    got = answer(plug_book(), {"plug-look": "bad"})
    plug = next(s for s in got.hypotheses if s.cause == "plug-fouled")
    assert (plug.roots, plug.missing) == (("injector-drips",), ("injector-holds",))
    assert got.verdict.kind == INSPECT
    assert got.next is not None and got.next.inspection == "injector-holds"
    assert "may be a consequence of “Injector drips”" in got.verdict.reasons[0]
    cleared = answer(plug_book(), {"plug-look": "bad", "injector-holds": "fine"})
    assert (cleared.verdict.kind, cleared.verdict.cause) == (REPAIR, "plug-fouled")


def test_a_measurement_is_no_look() -> None:
    got = answer(plug_book("measurement"), {"plug-look": "bad"})
    assert next(s for s in got.hypotheses if s.cause == "plug-fouled").roots == ()


def test_a_part_bought_for_another_fault_of_it_is_not_against_the_verdict() -> None:
    book, at = pump_book(), "2026-01-02T03:04:05Z"
    said = {"verdict": {"kind": "repair", "cause": "pump-weak", "reasons": ["It is proven."]}}
    first = seal(1, at, "intake", NO_PREVIOUS, {"codes": ["P0440"]})
    events = [first, seal(2, at, "advice", first.digest, said)]
    assert not purchase_body(events, book, "pump-noisy", 120.0).against_verdict
    other = pump_book(Remedy("repair", minutes=60))
    assert purchase_body(events, other, "pump-noisy", 120.0, reason="cheap").against_verdict
