"""Circuits switched to ground, of motors and of single cylinders, as their patterns make them.

Expected figures come from Ohm's law where a current is meant, and from the patterns' own promise that one
supply is named alike at every plug; what is a fact of the trade is common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_cli import proveout
from helpers_shipped import shipped_book
from proveout.book.load import load_book
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.atom import Observable
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.plan.advice import triage

#: Every plug at which the feed is measured with the plug off and a lamp as a load.
FEEDS = (
    "purge-valve-plug-power",
    "vent-valve-plug-power",
    "leak-pump-plug-power",
    "vvt-plug-power",
    "egr-plug-power",
    "idle-valve-feed-voltage",
    "pcv-heater-feed",
    "sensor-heater-feed",
    "injector-feed-voltage",
)

#: A solenoid of a shop's own, with its circuit.
SHOP = """\
components: [{id: swirl-valve, title: Swirl flap valve}]
uses:
  - {pattern: ground-switched-solenoid, as: swirl, say: swirl flap valve, component: swirl-valve,
     plug_look: swirl-plug-look, wire_shorted: swirl-wire-shorted, output: swirl-output-failed}
  - {pattern: ground-switched-circuit, as: swirl, say: swirl flap valve, wiring: swirl-valve,
     plug: swirl-valve, find: It sits under the intake manifold., feed: engine-fuse,
     coil_look: swirl-coil-resistance, output_look: swirl-output-at-module,
     without: [wires-check, wires-are-good]}
  - {pattern: module-output, as: swirl, say: swirl flap valve, output: swirl-output-failed,
     wire_shorted: swirl-wire-shorted}
"""


def words_of(book: Book, inspection: str) -> set[str]:
    """Return the ids of an inspection's results."""
    return {result.id for result in book.inspections[inspection].results}


def weights(book: Book, inspection: str, result: str) -> dict[str, float]:
    """Return how often a result is seen with each cause, over all rules that see nothing else."""
    found: dict[str, float] = {}
    for rule in book.rules.values():
        if rule.id == f"{inspection}={result}":
            found.update(rule.weights)
    return found


@pytest.mark.parametrize("plug", FEEDS)
def test_what_takes_the_feed_of_several_parts_is_seen_alike_at_every_plug(plug: str) -> None:
    seen = weights(shipped_book(), plug, "missing")
    assert seen["shared-engine-fuse-blown"] == pytest.approx(0.93)
    assert seen["main-relay-failed"] == seen["main-relay-fuse-blown"] == pytest.approx(0.3)


def test_a_missing_feed_says_the_same_of_the_fuse_at_both_valves() -> None:
    """P0443 and P0447 together; the feed is missing at the one plug or at the other."""
    book = shipped_book()
    standing = {}
    for plug in ("purge-valve-plug-power", "vent-valve-plug-power"):
        case = case_of({"codes": ["P0443", "P0447"], "results": {plug: "missing"}}, book)
        answer = triage(book, sheet_of(case, book), tools=frozenset(case.tools), costs=case.costs)
        standing[plug] = {each.cause: each.confidence for each in answer.hypotheses}
    first, second = standing.values()
    for shared in ("evap-fuse-blown", "shared-engine-fuse-blown", "main-relay-failed"):
        assert abs(first[shared] - second[shared]) < 0.02, (shared, first[shared], second[shared])


@pytest.mark.parametrize("inspection", ["purge-valve-current", "vent-valve-current"])
def test_leads_changed_over_do_not_make_a_sound_coil_open(tmp_path: Path, inspection: str) -> None:
    """25 ohm on 12.6 V take 0.5 A (Ohm's law); a meter whose leads are changed over shows -0.5 A."""
    car = tmp_path / "car.yaml"
    assert proveout("intake", car, "--code", "P0443", home=tmp_path).code == 0
    refused = proveout("record", car, inspection, "-0.5", "A", home=tmp_path)
    assert refused.code != 0
    taken = proveout("record", car, inspection, "0.5", "A", home=tmp_path)
    assert taken.code == 0, taken.err
    assert "draws" in taken.out


def test_current_limits_are_those_of_the_resistance_limits() -> None:
    """12.6 V across the good resistances must lie within the good currents (Ohm's law)."""
    book = shipped_book()
    for valve in ("purge-valve", "vent-valve"):
        ohms, amperes = (
            next(band for band in book.inspections[name].reading.bands if band.result == good)  # type: ignore[union-attr]
            for name, good in ((f"{valve}-coil-resistance", "good"), (f"{valve}-current", "draws"))
        )
        assert ohms.low and ohms.high and amperes.low and amperes.high
        assert amperes.low <= 12.6 / ohms.high < 12.6 / ohms.low <= amperes.high


def test_every_fuse_that_is_looked_at_may_be_loose_in_its_socket() -> None:
    """A scorched socket is the usual fault of a fuse that carries 15 to 30 A (common practice, no source)."""
    book = shipped_book()
    looks = [
        name
        for name, entry in book.inspections.items()
        if "circuit-fuse" in str(entry.place) and entry.kind == "visual"
    ]
    assert len(looks) >= 10
    for name in looks:
        assert words_of(book, name) == {"whole", "blown", "loose"}, name
        assert Observable("result", name) in book.weighing


def test_a_result_has_one_word_whatever_the_circuit() -> None:
    book = shipped_book()
    for name in FEEDS:
        assert words_of(book, name) == {"fed", "missing"}, name
    coils = [
        name
        for name, entry in book.inspections.items()
        if "patterns/" in str(entry.place) and name.endswith(("-resistance", "-ohms"))
    ]
    assert len(coils) >= 10
    for name in coils:
        assert not words_of(book, name) & {"low", "high"}, name


def test_former_results_are_known_as_those_of_today() -> None:
    former = shipped_book().former
    assert former["result purge-valve-coil-resistance high"] == "open"
    assert former["result sensor-heater-feed no-feed"] == "missing"
    assert former["result coil-trigger-light steady-or-dark"] == "dark"


def test_a_shop_adds_a_solenoid_with_its_circuit_in_about_ten_lines(tmp_path: Path) -> None:
    assert len(SHOP.splitlines()) <= 12
    (tmp_path / "swirl.yaml").write_text(SHOP)
    book = load_book([tmp_path])
    assert {"swirl-coil-open", "swirl-wire-open", "swirl-output-failed"} <= set(book.causes)
    assert book.proved_by["swirl-coil-open"] == ("swirl-coil-current", "swirl-coil-resistance")
    assert weights(book, "swirl-feed", "missing")["shared-engine-fuse-blown"] == pytest.approx(0.93)
    case = case_of({"results": {"swirl-plug-look": "clean"}, "symptoms": []}, book)
    assert sheet_of(case, book)


def test_a_shop_that_forgets_the_feed_is_told_so(tmp_path: Path) -> None:
    (tmp_path / "swirl.yaml").write_text(SHOP.replace(", feed: engine-fuse", ""))
    with pytest.raises(BadInputError) as raised:
        load_book([tmp_path])
    assert any("without 'feed'" in problem.saw for problem in raised.value.problems)
