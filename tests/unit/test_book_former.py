"""Names that entries had before stay readable in layers; the book says them to whoever reads records."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_book import write_book
from proveout.book.load import load_book
from proveout.intake.document import case_of
from proveout.model.atom import Atom
from proveout.model.book import Book

TOPIC = """\
sources: {base_rate: from memory, inspections: from memory, limits: from memory, seen_with: from memory}
components: [{id: fan, title: Fan}]
causes:
  - id: fan-wire-open
    title: Wire of the fan open
    component: fan
    base_rate: 1 per 1000
    remedy: {action: repair, minutes: 9}
    before_buying: [fan-feed]
inspections:
  - id: fan-feed
    formerly: [fan-volts]
    results_formerly: {no-feed: missing}
    title: Feed at the fan
    kind: measurement
    minutes: 3
    reading: {quantity: voltage, unit: V, possible: -1..18, limits: {fed: 11.., missing: otherwise}}
    results:
      fed: {is: normal, means: Fed.}
      missing: {is: abnormal, means: No., shows: [fan-wire-open],
        seen_with: {fan-wire-open: 0.9}, otherwise: 0.01}
    steps: [Measure.]
symptoms:
  - {id: fan-silent, formerly: [fan-mute], title: Fan silent,
    seen_with: {fan-wire-open: 0.8}, otherwise: 0.01}
"""

#: What a shop wrote when the names were others.
LAYERS = {
    "a rule": """\
- id: shop-fan
  when: {all: [{inspection: fan-volts, result: no-feed}, {recent_work: tank-out}]}
  weigh: {fan-wire-open: 0.99}
  because: Seen here.
  source: own jobs
  examples:
    fires: [{results: {fan-volts: no-feed}, recent_work: [tank-out]}]
    silent: [{readings: [{inspection: fan-volts, result: no-feed}], symptoms: [fan-mute]}]
""",
    "a row replaced": """\
rules:
  - {replaces: fan-volts=no-feed, seen_with: {fan-wire-open: 0.5}, otherwise: 0.02,
    because: x, source: own jobs}
""",
    "own figures": """\
- {id: shop-fan, inspection: fan-volts, limits: {no-feed: ..5 V}, reference: sheet 1}
""",
    "the inspection replaced": """\
- id: fan-volts
  replaces: fan-volts
  title: Feed at the fan, our way
  kind: measurement
  proves: {fan-wire-open: [no-feed]}
  minutes: 2
  reading: {quantity: voltage, unit: V, possible: -1..18,
    limits: {fed: 10.., no-feed: otherwise}, limits_source: own}
  results: {fed: {is: normal, means: Fed.}, no-feed: {is: abnormal, means: No.}}
  steps: [Measure.]
  source: own
""",
}
FILES = {
    "a rule": "shop.rules.yaml",
    "a row replaced": "rows.yaml",
    "own figures": "shop.own-figures.yaml",
    "the inspection replaced": "shop.inspections.yaml",
}


def book_with(tmp_path: Path, name: str = "") -> Book:
    base = write_book(tmp_path / "base")
    (base / "fan.yaml").write_text(TOPIC)
    if not name:
        return load_book(base=base)
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / FILES[name]).write_text(LAYERS[name])
    return load_book([tmp_path / "shop"], base=base)


def test_the_book_says_what_the_former_names_mean(tmp_path: Path) -> None:
    assert book_with(tmp_path).former == {
        "inspection fan-volts": "fan-feed",
        "symptom fan-mute": "fan-silent",
        "result fan-feed no-feed": "missing",
    }


@pytest.mark.parametrize("name", LAYERS)
def test_a_layer_written_before_means_the_same(tmp_path: Path, name: str) -> None:
    book = book_with(tmp_path, name)
    fan = book.inspections["fan-feed"]
    assert "fan-volts" not in book.inspections
    if name == "a rule":
        rule = book.rules["shop-fan"]
        assert Atom("result", "fan-feed", "missing") == rule.observes
        assert [dict(example.intake) for example in rule.examples] == [
            {"results": {"fan-feed": "missing"}, "recent_work": ["tank-out"]},
            {"readings": [{"inspection": "fan-feed", "result": "missing"}], "symptoms": ["fan-silent"]},
        ]
    elif name == "a row replaced":
        assert book.rules["fan-feed=missing"].weights == {"fan-wire-open": 0.5}
    elif name == "own figures":
        assert book.own_figures[0].limits == {"missing": "..5 V"}
        assert book.own_figures[0].inspection == "fan-feed"
    else:
        assert [result.id for result in fan.results] == ["fed", "missing"]
        assert fan.proves == {"fan-wire-open": ("missing",)}
        assert fan.title == "Feed at the fan, our way"


def test_an_intake_or_record_written_before_means_the_same(tmp_path: Path) -> None:
    book = book_with(tmp_path)
    document = {
        "symptoms": ["fan-mute"],
        "readings": [
            {"inspection": "fan-volts", "value": "0.2 V"},
            {"inspection": "fan-feed", "result": "no-feed"},
        ],
        "results": {"fan-volts": "no-feed"},
        "own_figures": [{"inspection": "fan-volts", "limits": {"no-feed": "..5 V"}, "reference": "sheet 1"}],
        "set_aside": {"fan-volts": "no-tool"},
    }
    case = case_of(document, book)
    assert case.symptoms == ("fan-silent",)
    assert [(taken.inspection, taken.result) for taken in case.taken] == [
        ("fan-feed", ""),
        ("fan-feed", "missing"),
        ("fan-feed", "missing"),
    ]
    assert case.own_figures[0].limits == {"missing": "..5 V"}
    assert "fan-feed" in dict(case.set_aside)


def test_a_symptom_is_replaced_by_the_name_it_had(tmp_path: Path) -> None:
    base = write_book(tmp_path / "base")
    (base / "fan.yaml").write_text(TOPIC)
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "ours.yaml").write_text(
        "symptoms: [{id: fan-mute, replaces: fan-mute, title: Fan says nothing}]\n"
        "rules:\n  - {replaces: 'symptom:fan-mute', seen_with: {fan-wire-open: 0.5}, otherwise: 0.02,\n"
        "    because: x, source: own jobs}\n"
    )
    book = load_book([tmp_path / "shop"], base=base)
    assert book.words.symptoms["fan-silent"].title == "Fan says nothing"
    assert "fan-mute" not in book.words.symptoms
    assert book.rules["symptom:fan-silent"].weights == {"fan-wire-open": 0.5}
