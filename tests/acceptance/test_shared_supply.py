"""Circuits on one 5 V supply and one sensor ground: the same measurement says the same at any plug of them.

Source: that a measurement names the shared fault and not the plug it was made at is common practice, no
source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_shipped import shipped_book
from proveout.book.load import load_book
from proveout.chain.closing import close
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.book import Book
from proveout.weigh.networks import network
from proveout.weigh.posteriors import posterior

#: Inspections of the 5 V supply, one a plug.
FIVE_VOLTS = (
    "map-five-volts",
    "tank-sensor-five-volts",
    "fuel-pressure-sensor-five-volts",
    "throttle-five-volts",
    "pedal-five-volts",
    "egr-sensor-supply-volts",
    "five-volts-at-another-sensor",
)
#: Inspections of a sensor's ground, one a plug.
GROUNDS = (
    "map-ground-drop",
    "tank-sensor-ground-drop",
    "fuel-pressure-sensor-ground-drop",
    "throttle-ground-drop",
    "pedal-ground-drop",
    "coolant-sensor-ground-drop",
)
SHARED = (
    "five-volt-reference-pulled-down",
    "five-volt-trunk-open",
    "five-volt-wire-shorted",
    "module-five-volt-supply-failed",
    "five-volt-fed-by-battery",
)


def standing(codes: list[str], results: dict[str, str], book: Book | None = None) -> dict[str, float]:
    """Return the confidence in each cause for codes and results."""
    book = book or shipped_book()
    case = case_of({"codes": codes, "results": results}, book)
    sheet = sheet_of(case, book)
    return posterior(network(book, sheet, close(book, sheet.atoms, "reference"))).confidence()


@pytest.mark.parametrize("result", ["missing", "low", "high"])
@pytest.mark.parametrize("code", ["P0641", "P0642", "P0643", "P0651"])
def test_a_supply_reading_stands_the_same_at_every_plug(code: str, result: str) -> None:
    """Within two points, whichever plug was measured."""
    found = [standing([code], {plug: result}) for plug in FIVE_VOLTS]
    for cause in SHARED:
        seen = [confidence.get(cause, 0.0) for confidence in found]
        assert max(seen) - min(seen) <= 0.02, (cause, dict(zip(FIVE_VOLTS, seen, strict=True)))


def test_a_missing_supply_leads_to_what_kills_it_and_not_to_one_neighbour() -> None:
    """With P0641 and no 5 V the three that leave nothing outweigh the neighbour that leaves something."""
    found = standing(["P0641"], {"map-five-volts": "missing"})
    dead = sum(found[cause] for cause in SHARED[1:4])
    assert dead > found["five-volt-reference-pulled-down"]
    low = standing(["P0641"], {"map-five-volts": "low"})
    assert low["five-volt-reference-pulled-down"] > sum(low[cause] for cause in SHARED[1:4])


@pytest.mark.parametrize("result", ["poor", "open"])
def test_a_ground_reading_stands_the_same_at_every_plug(result: str) -> None:
    """With a complaint of the shared ground the splice stands alike at all plugs."""
    symptoms = {"symptoms": ["dies-with-several-codes"]}
    book = shipped_book()
    seen = {}
    for plug in GROUNDS:
        case = case_of({**symptoms, "results": {plug: result, "what-the-codes-share": "one-ground"}}, book)
        sheet = sheet_of(case, book)
        belief = posterior(network(book, sheet, close(book, sheet.atoms, "reference"))).confidence()
        seen[plug] = belief["shared-sensor-ground-poor"]
    assert max(seen.values()) - min(seen.values()) <= 0.02, seen


@pytest.mark.parametrize("inspection", FIVE_VOLTS)
def test_one_reading_means_one_thing_at_every_plug(inspection: str) -> None:
    """4.72 V was low here and fed there; a reversed lead counted as no supply."""
    reading = shipped_book().inspections[inspection].reading
    assert reading is not None
    judged = [band.result for band in reading.bands for v in (4.72,) if _within(band.low, band.high, v)]
    assert judged[:1] == ["low"]
    assert reading.possible[0] is not None and reading.possible[0] >= -0.5


@pytest.mark.parametrize("wire", ["map", "tank-sensor", "maf"])
def test_sixty_ohm_to_ground_is_a_short_at_every_signal_wire(wire: str) -> None:
    name = "maf-signal-wire-to-ground" if wire == "maf" else f"{wire}-signal-to-ground"
    reading = shipped_book().inspections[name].reading
    assert reading is not None
    assert next(b.result for b in reading.bands if _within(b.low, b.high, 60)) == "shorted"


@pytest.mark.parametrize("ground", GROUNDS)
def test_an_open_ground_reads_poor_equally_often_at_every_plug(ground: str) -> None:
    """P(poor | ground open) ran from 0.25 to 0.94."""
    own = ground.removesuffix("-ground-drop")
    cause = {"coolant-sensor": "coolant-sensor-ground-poor"}.get(own, f"{own}-ground-open")
    assert shipped_book().rules[f"{ground}=poor"].weights[cause] == 0.35


def _within(low: float | None, high: float | None, value: float) -> bool:
    return (low is None or value >= low) and (high is None or value < high)


SHOP = """\
components: [{id: refrigerant-sensor, title: Refrigerant pressure sensor}]
uses:
  - {pattern: three-wire-sensor, as: refrigerant-sensor, say: refrigerant pressure sensor,
    value: refrigerant pressure}
codes:
  - {id: P0532, meaning: Its signal is too low., family: air-conditioning, replaces: P0532, source: own jobs,
    seen_with: {refrigerant-sensor.reads-low: often, refrigerant-sensor.comes-and-goes: seldom,
      five-volt-reference.dead: seldom}, otherwise: 0.0002}
  - {id: P0533, meaning: Its signal is too high., family: air-conditioning, replaces: P0533, source: own jobs,
    seen_with: {refrigerant-sensor.reads-high: often, five-volt-reference.high: seldom}, otherwise: 0.0002}
"""


def test_a_shop_adds_a_sensor_with_its_circuit_and_codes_in_ten_lines(tmp_path: Path) -> None:
    """As a shop author would: one file, checked like any other."""
    from proveout.app.checking import checked

    assert len(SHOP.splitlines()) <= 10
    (tmp_path / "refrigerant-sensor.yaml").write_text(SHOP)
    assert not checked((tmp_path,)).problems
    book = load_book([tmp_path])
    assert {"refrigerant-sensor-ground-open", "refrigerant-sensor-failed"} <= set(book.causes)
    assert book.proved_by["refrigerant-sensor-signal-open"] == ("refrigerant-sensor-wires-check",)
    alone = standing(["P0532"], {}, book)
    found = standing(["P0532"], {"refrigerant-sensor-five-volts": "missing"}, book)
    assert found["refrigerant-sensor-supply-open"] > 0.5 > alone["refrigerant-sensor-supply-open"]
    assert found["refrigerant-sensor-failed"] < alone["refrigerant-sensor-failed"] / 3
