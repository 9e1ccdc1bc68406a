"""What a circuit leaves out of its pattern, and what a page with a spray or a mains lead on it must say."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml

from helpers_shipped import shipped_book
from proveout.book.shipped import rules_dir

#: Sprays that dissolve and burn; water and freezing spray are none.
SPRAY = re.compile(r"(?:contact|brake|throttle|carburett?or|intake)(?: \w+)? cleaner", re.IGNORECASE)
#: What hangs on the mains; where the words deny it, or compare with it, nobody brings it.
MAINS = re.compile(r"(?<!no )(?<!brush, )(?<!like a )\b(?:hair dryer|vacuum cleaner)\b", re.IGNORECASE)


def circuits() -> dict[Path, dict[str, Any]]:
    """Return the shipped files that hold a pattern or fill one in, as plain data."""
    texts = {path: path.read_text("utf-8") for path in rules_dir().glob("*/*.yaml")}
    wanted = re.compile(r"^(?:uses|pattern):", re.MULTILINE)
    return {path: yaml.safe_load(text) for path, text in texts.items() if wanted.search(text)}


def test_a_cause_that_a_circuit_leaves_out_is_still_seen_by_its_inspections() -> None:
    """Without its id under ``ids`` the rows forget it: the test of a wire did not show that wire open."""
    read = circuits()
    patterns = {topic["pattern"]: topic for topic in read.values() if "pattern" in topic}
    causes = shipped_book().causes
    forgotten = []
    for path, topic in read.items():
        for use in topic.get("uses", ()):
            out = set(use.get("without", ()))
            kept = [entry for entry in patterns[use["pattern"]]["inspections"] if entry["id"][5:] not in out]
            text = yaml.safe_dump([entry["results"] for entry in kept])
            gone = sorted(out - set(use.get("ids", {})))
            forgotten += [
                f"{path.name}: {use['as']}-{name}"
                for name in gone
                if f"{use['as']}-{name}" in causes and re.search(rf"{{as}}-{name}\b(?!-)", text)
            ]
    assert forgotten == []


def test_whoever_is_told_to_spray_a_cleaner_is_told_that_it_burns() -> None:
    book = shipped_book()
    told = [(name, entry.steps, entry.cautions) for name, entry in book.inspections.items()]
    told += [(name, entry.remedy.notes, entry.remedy.cautions) for name, entry in book.causes.items()]
    sprays = [(name, cautions) for name, lines, cautions in told if SPRAY.search(" ".join(lines))]
    assert len(sprays) > 20
    assert [name for name, cautions in sprays if "solvent-spray" not in cautions] == []


def test_whoever_is_told_to_bring_mains_power_to_the_car_is_told_how() -> None:
    """A vacuum cleaner blew into the exhaust beside soapy water, and no page had a word on the mains."""
    book = shipped_book()
    told = [(name, entry.steps, entry.cautions) for name, entry in book.inspections.items()]
    told += [(name, entry.remedy.notes, entry.remedy.cautions) for name, entry in book.causes.items()]
    powered = [(name, cautions) for name, lines, cautions in told if MAINS.search(" ".join(lines))]
    assert len(powered) > 8
    assert [name for name, cautions in powered if "mains-lead" not in cautions] == []


def test_whoever_compares_speeds_on_the_road_is_told_who_reads() -> None:
    """After a repair of its wire the driver held the speedometer against a satellite reading by himself."""
    book = shipped_book()
    told = {name: " ".join((*entry.remedy.notes, *entry.after_repair)) for name, entry in book.causes.items()}
    compared = {name: text for name, text in told.items() if "satellite" in text}
    assert len(compared) > 6
    assert [name for name, text in compared.items() if not re.search("passenger|helper", text)] == []
