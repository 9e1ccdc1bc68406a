"""Circuits made from a pattern, and groups of causes named through what they share."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_book import write_book
from helpers_patterns import PATTERN, SHARED, USES
from proveout.book.files import Source
from proveout.book.load import check, load_book
from proveout.book.raw import assemble
from proveout.model.atom import Observable
from proveout.model.problem import BadInputError, Problem
from proveout.text.node import plain

FED_TWICE = """\
      feed: {results: {missing: {seen_with: {fuse-blown: 0.2}}}, because: It is fed by two fuses.}
"""


def layer(home: Path, uses: str = USES, pattern: str = PATTERN) -> Path:
    home.mkdir(parents=True)
    (home / "coil.yaml").write_text(pattern)
    (home / "shared.yaml").write_text(SHARED)
    (home / "uses.yaml").write_text(uses)
    return home


@pytest.fixture
def base(tmp_path: Path) -> Path:
    return write_book(tmp_path / "base")


def test_a_use_gives_causes_inspections_rows_and_proofs(tmp_path: Path, base: Path) -> None:
    book = load_book([layer(tmp_path / "shop")], base=base)
    pump, fan = book.causes["pump-coil-open"], book.causes["fan-coil-open"]
    assert (pump.title, pump.component, pump.base_rate) == ("Coil of the pump open", "pump-coil", 0.005)
    assert (fan.base_rate, fan.remedy.access, fan.remedy.part) == (0.002, ("bay",), "fan")
    assert book.causes["fan-wire-open"].remedy.access == ("bay",), "a list within a list gives its items"
    assert book.proved_by["pump-coil-open"] == ("pump-resistance",)
    assert pump.before_buying == ("pump-resistance",)
    assert book.rules["pump-resistance=open"].weights == {"pump-coil-open": 0.9}
    assert book.weighing[Observable("result", "pump-resistance")] == (
        "pump-resistance=low",
        "pump-resistance=open",
    )


def test_what_differs_is_laid_over_the_pattern(tmp_path: Path, base: Path) -> None:
    book = load_book([layer(tmp_path / "shop")], base=base)
    limits = {
        name: [(band.result, band.low, band.high) for band in book.inspections[name].reading.bands]  # type: ignore[union-attr]
        for name in ("pump-resistance", "fan-ohms")
    }
    assert limits["pump-resistance"] == [("good", 10, 80), ("open", 80, None), ("low", None, None)]
    assert limits["fan-ohms"] == [("good", 1, 5), ("open", 5, None), ("low", None, None)]


def test_a_group_stands_for_its_causes_at_every_plug(tmp_path: Path, base: Path) -> None:
    book = load_book([layer(tmp_path / "shop")], base=base)
    for plug in ("pump", "fan"):
        weights = book.rules[f"{plug}-feed=missing"].weights
        assert weights == {f"{plug}-wire-open": 0.93, "fuse-blown": 0.8, "relay-stuck": 0.8}


def test_a_cause_named_beside_its_group_keeps_its_own(tmp_path: Path, base: Path) -> None:
    uses = USES + FED_TWICE
    book = load_book([layer(tmp_path / "shop", uses)], base=base)
    assert book.rules["fan-feed=missing"].weights == {
        "fan-wire-open": 0.93,
        "fuse-blown": 0.2,
        "relay-stuck": 0.8,
    }
    assert book.rules["pump-feed=missing"].weights["fuse-blown"] == 0.8


def test_places_name_the_use_and_the_line_of_the_pattern(tmp_path: Path, base: Path) -> None:
    home = layer(tmp_path / "shop")
    place = str(load_book([home], base=base).causes["fan-coil-open"].place)
    assert place == f"{home}/uses.yaml:9:5 (pattern {home}/coil.yaml:9:5)"


def test_what_a_use_leaves_out_is_named_nowhere(tmp_path: Path, base: Path) -> None:
    uses = USES.replace("    ids: {ohms: pump-resistance}\n", "    without: [ohms, coil-open]\n").replace(
        "    rates: {coil-open: 5 per 1000}\n", ""
    )
    book = load_book([layer(tmp_path / "shop", uses)], base=base)
    assert "pump-coil-open" not in book.causes
    assert "pump-ohms" not in book.inspections
    assert "pump-feed" in book.inspections


def test_the_same_book_comes_out_of_a_snapshot(tmp_path: Path, base: Path) -> None:
    from proveout.record import snapshot

    home = layer(tmp_path / "shop")
    assert snapshot.book_of(snapshot.take((base, home))).digest == load_book([home], base=base).digest


MISTAKES = {
    "pattern: two-wire-coil": ("pattern: two-wire-coils", "pattern-unknown", "did you mean 'two-wire-coil'"),
    "    say: pump\n": ("", "pattern-value", "without 'say'"),
    "say: fan": ("sya: fan", "pattern-value", "'sya'"),
    "rates: {coil-open": ("rates: {coil-opne", "pattern-entry", "did you mean 'coil-open'"),
    "{ohms: pump-resistance}": ("{omhs: pump-resistance}", "pattern-entry", "did you mean 'ohms'"),
    ", because: The fan's coil is thicker.": ("", "pattern-reason", "without a reason"),
    "as: pump\n": ("as: fan\n", "duplicate-id", "the id 'fan-coil-open' again"),
    "component: fan-coil": ("component: fan-cojl", "unknown-id", "fan-cojl"),
    "good: 1..5": ("good: one", "schema-form", "'one'"),
}


@pytest.mark.parametrize("was", MISTAKES)
def test_a_mistake_in_a_use_is_told_at_its_place(tmp_path: Path, base: Path, was: str) -> None:
    now, name, told = MISTAKES[was]
    assert was in USES
    problems = check([layer(tmp_path / "shop", USES.replace(was, now, 1))], base=base)
    found = [problem for problem in problems if problem.check == name]
    assert found, problems
    assert any(told in str(problem) for problem in found), found
    assert all("uses.yaml:" in str(problem) for problem in found)


def test_a_group_that_nobody_declared_is_told_at_its_place(tmp_path: Path, base: Path) -> None:
    home = layer(tmp_path / "shop", USES.replace("    say: pump\n", "    say: pump\n    feed: fede\n"))
    with pytest.raises(BadInputError) as raised:
        load_book([home], base=base)
    (problem,) = [p for p in raised.value.problems if "group" in p.saw]
    assert "'fede.dead'" in problem.saw
    assert "did you mean 'feed.dead'" in problem.mend


def test_two_patterns_of_one_name_are_refused(tmp_path: Path, base: Path) -> None:
    home = layer(tmp_path / "shop")
    (home / "again.yaml").write_text(PATTERN)
    assert {p.check for p in check([home], base=base)} == {"duplicate-id"}


def test_a_list_or_group_of_which_a_use_leaves_nothing_goes_too(tmp_path: Path, base: Path) -> None:
    grouped = PATTERN.replace(
        "inspections:\n", 'groups:\n  - {id: "{as}.dead", causes: ["{as}-wire-open"]}\ninspections:\n', 1
    )
    uses = USES.replace("    ids: {ohms: pump-resistance}\n", "    without: [wire-open]\n", 1)
    book = load_book([layer(tmp_path / "shop", uses, grouped)], base=base)
    assert "pump-wire-open" not in book.causes
    assert book.rules["pump-feed=missing"].weights == {"fuse-blown": 0.8, "relay-stuck": 0.8}
    assert "pump-feed" not in book.proved_by["fan-wire-open"]


def test_what_is_left_out_and_given_an_id_stands_elsewhere(tmp_path: Path, base: Path) -> None:
    uses = USES.replace(
        "    ids: {ohms: pump-resistance}\n",
        "    ids: {wire-open: relay-stuck}\n    without: [wire-open]\n",
        1,
    )
    book = load_book([layer(tmp_path / "shop", uses)], base=base)
    assert "pump-wire-open" not in book.causes
    assert book.rules["pump-feed=missing"].weights == {"relay-stuck": 0.93, "fuse-blown": 0.8}


def test_an_entry_left_out_that_keeps_its_id_is_still_named(tmp_path: Path, base: Path) -> None:
    uses = USES.replace(
        "    ids: {ohms: pump-resistance}\n",
        "    ids: {wire-open: pump-wire-open}\n    without: [wire-open]\n",
        1,
    )
    home = layer(tmp_path / "shop", uses)
    assert any("pump-wire-open" in problem.saw for problem in check([home], base=base)), "nobody has it yet"


def test_a_pattern_brings_the_sources_of_its_own_layer_wherever_it_is_used() -> None:
    """A shop's use of a pattern of the book had to say where the pattern's figures come from."""
    texts = [
        ("book", "sources.yaml", "all_sources: {base_rate: of the book, seen_with: of the book}\n"),
        (
            "book",
            "pattern.yaml",
            "pattern: wired\ntakes: {}\ncauses:\n  - {id: '{as}-open', title: Open, component: valve, "
            "base_rate: 1 per 1000, remedy: {action: repair, minutes: 30}}\n",
        ),
        ("shop", "own.yaml", "all_sources: {base_rate: of the shop}\nuses: [{pattern: wired, as: own}]\n"),
    ]
    problems: list[Problem] = []
    raw = assemble([Source(layer, name, text.encode()) for layer, name, text in texts], problems)
    assert problems == []
    assert plain(raw.of("causes")["own-open"].node)["base_rate_source"] == "of the book"
