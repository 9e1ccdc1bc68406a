"""Figures of certain vehicles laid over the book, and figures derived from readings: use and check."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_book
from proveout.book.load import check, load_book
from proveout.intake.document import case_of
from proveout.intake.readings import judged, own_limits
from proveout.measure.judging import Judged

OWN = """\
- id: two-litre
  inspection: valve-holds
  when: {fact: vehicle.engine, is: 2.0 petrol}
  limits: {holds: ..-15 inHg}
  reference: handbook p. 9
"""
INPUTS = "{end: reading, start: -50 kPa, seconds: 60 s, volume: stated}"
DERIVED = f"    derived: {{formula: leak-size, inputs: {INPUTS}}}\n"
SOURCE = "    limits_source: common practice, no source\n  results:\n    holds"


def write(home: Path, own: str = OWN) -> Path:
    home.mkdir(parents=True, exist_ok=True)
    (home / "own-figures.yaml").write_text(own, encoding="utf-8")
    return home


def read(base: Path, layers: list[Path], value: str = "-43 kPa", **document: Any) -> Judged:
    book = load_book(layers, base=base)
    case = case_of({"readings": [{"inspection": "valve-holds", "value": value}], **document}, book)
    found = judged(case.taken[0], case, book)
    assert found is not None
    return found


def test_own_figures_hold_for_the_vehicles_that_they_name(tmp_path: Path) -> None:
    base, shop = write_book(tmp_path / "book"), write(tmp_path / "shop")
    mine = read(base, [shop], vehicle={"engine": "2.0 Petrol"})
    other = read(base, [shop], vehicle={"engine": "1.6 petrol"})
    unknown = read(base, [shop])
    assert [found.states[0][0] for found in (mine, other, unknown)] == ["leaks", "holds", "holds"]
    assert mine.decided is None, "own figures alone are no proof"
    assert mine.shown == "-43 kPa; by handbook p. 9: holds ..-50.7958 kPa (generic ..-40 kPa)"
    assert other.shown == "-43 kPa"


def test_what_the_case_states_goes_before_the_layer(tmp_path: Path) -> None:
    base, shop = write_book(tmp_path / "book"), write(tmp_path / "shop")
    stated = {"inspection": "valve-holds", "limits": {"holds": "..-30 kPa"}, "reference": "door sticker"}
    found = read(base, [shop], vehicle={"engine": "2.0 petrol"}, own_figures=[stated])
    assert found.decided == "holds"
    assert "door sticker" in found.shown and "handbook" not in found.shown


def test_a_higher_layer_goes_before_more_conditions_and_those_before_fewer(tmp_path: Path) -> None:
    every = OWN.replace("two-litre", "all").replace("  when: {fact: vehicle.engine, is: 2.0 petrol}\n", "")
    base, shop = write_book(tmp_path / "book"), write(tmp_path / "shop", OWN + every.replace("-15", "-5"))
    higher = write(tmp_path / "higher", OWN.replace("two-litre", "later").replace("-15", "-20"))
    book = load_book([shop, higher], base=base)
    case = case_of({"vehicle": {"engine": "2.0 petrol"}}, book)
    assert [figures.id for figures in book.own_figures] == ["all", "two-litre", "later"]
    own = own_limits("valve-holds", case, book)
    assert own is not None and own.spec.bands[0].high == pytest.approx(-67.73, abs=0.01)


def test_the_digest_of_a_book_covers_own_figures(tmp_path: Path) -> None:
    base = write_book(tmp_path / "book")
    digests = {
        load_book([write(tmp_path / name, text)], base=base).digest
        for name, text in (("a", OWN), ("b", OWN.replace("-15", "-16")))
    }
    assert len(digests | {load_book(base=base).digest}) == 3


@pytest.mark.parametrize(
    ("old", "new", "name", "line"),
    [
        ("inspection: valve-holds", "inspection: valve-hold", "unknown-id", 2),
        ("inspection: valve-holds", "inspection: hose-look", "no-limits", 4),
        ("{holds: ..-15 inHg}", "{hold: ..-15 inHg}", "unknown-result", 4),
        ("{holds: ..-15 inHg}", "{holds: ..-15 V}", "wrong-dimension", 4),
        ("{holds: ..-15 inHg}", "{holds: few}", "unreadable-value", 4),
        ("{fact: vehicle.engine, is: 2.0 petrol}", "{symptom: smell}", "own-figures-when", 3),
        (
            "{fact: vehicle.engine, is: 2.0 petrol}",
            "{fact: frame.rpm, below: 900 rpm}",
            "own-figures-when",
            3,
        ),
        ("  reference: handbook p. 9\n", "", "schema-missing", 1),
    ],
)
def test_own_figures_that_cannot_be_used(tmp_path: Path, old: str, new: str, name: str, line: int) -> None:
    assert old in OWN
    problems = check([write(tmp_path / "shop", OWN.replace(old, new))], base=write_book(tmp_path / "book"))
    assert (name, line) in {(problem.check, problem.place.line) for problem in problems}, problems


def test_two_entries_for_the_same_vehicles_are_refused(tmp_path: Path) -> None:
    own = OWN + OWN.replace("two-litre", "again")
    (problem,) = check([write(tmp_path / "shop", own)], base=write_book(tmp_path / "book"))
    assert (problem.check, problem.place.line) == ("own-figures-twice", 1)


def test_a_derived_figure_passes_the_check(tmp_path: Path) -> None:
    home = write_book(tmp_path, edit={"inspections.yaml": [(SOURCE, DERIVED + SOURCE)]})
    assert [str(problem) for problem in check(base=home)] == []
    derived = load_book(base=home).inspections["valve-holds"].reading.derived  # type: ignore[union-attr]
    assert derived is not None and derived.given == {"start": "-50 kPa", "seconds": "60 s"}
    assert (derived.reading, derived.stated) == ("end", ("volume",))


@pytest.mark.parametrize(
    ("old", "new", "name"),
    [
        ("leak-size", "leak-sise", "unknown-id"),
        ("end: reading", "ending: reading", "unknown-key"),
        ("end: reading", "end: -20 kPa", "derived-reading"),
        (", seconds: 60 s", "", "missing-key"),
        ("seconds: 60 s", "seconds: 60 V", "wrong-dimension"),
        ("seconds: 60 s", "seconds: soon", "unreadable-value"),
        (
            "end: reading, start: -50 kPa",
            "end: -20 kPa, start: -50 kPa, barometer: reading",
            "wrong-dimension",
        ),
        (
            "end: reading, start: -50 kPa",
            "end: -20 kPa, start: -50 kPa, discharge: reading",
            "wrong-dimension",
        ),
        ("seconds: 60 s, volume: stated", "seconds: reading, volume: stated", "unreadable-value"),
    ],
)
def test_derived_figures_that_cannot_be_computed(tmp_path: Path, old: str, new: str, name: str) -> None:
    assert old in DERIVED
    edit = {"inspections.yaml": [(SOURCE, DERIVED.replace(old, new) + SOURCE)]}
    problems = check(base=write_book(tmp_path, edit=edit))
    assert name in {problem.check for problem in problems}, problems
    assert {problem.place.line for problem in problems} == {16}
