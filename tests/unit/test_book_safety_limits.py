"""What must not be exceeded: said once for many inspections or by one alone, each with its source."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_book import write_topics
from proveout.book.load import check, load_book
from proveout.book.safety_limits import UNSOURCED
from proveout.show.entry import entry_text

VALVE = "evap/valve.yaml"
STEPS = "    steps: [Pump., Wait.]"
SHARED = """safety-limits:
  - id: diaphragm-vacuum
    text: Not more than 50 kPa of vacuum.
    source: manual of a pump, page 15, read
"""


def _base(home: Path, inspection: str, shared: str = SHARED, head: str = "") -> Path:
    """Write a book whose one measurement has further lines, and a file of shared limits."""
    base = write_topics(home, (VALVE, STEPS, f"{inspection}{STEPS}"))
    (base / "common").mkdir(exist_ok=True)
    (base / "common" / "safety-limits.yaml").write_text(shared, "utf-8")
    if head:
        text = (base / VALVE).read_text("utf-8")
        (base / VALVE).write_text(text.replace("sources:\n", f"sources:\n{head}", 1), "utf-8")
    return base


def test_a_shared_limit_and_an_own_one_are_said_together_each_with_its_source(tmp_path: Path) -> None:
    more = "    safety_limits: [diaphragm-vacuum]\n    damage_limit: Never pressure.\n"
    book = load_book(base=_base(tmp_path, more))
    one = book.inspections["valve-holds"]
    assert one.damage_limit == "Not more than 50 kPa (15 inHg) of vacuum. Never pressure."
    assert [limit.source for limit in one.safety_limits] == ["manual of a pump, page 15, read", UNSOURCED]
    page = " ".join(entry_text(book, "valve-holds").split())
    assert "Do not exceed: Not more than 50 kPa" in page
    assert "Source of what must not be exceeded: manual of a pump, page 15, read; the rest common" in page


@pytest.mark.parametrize(
    ("own", "head", "source"),
    [
        ("    damage_limit_source: a standard, read\n", "", "a standard, read"),
        ("    damage_limit_source: a standard, read\n", "  damage_limits: a shop\n", "a standard, read"),
        ("", "  damage_limits: a shop\n", "a shop"),
        ("", "", UNSOURCED),
    ],
)
def test_an_own_limit_has_its_own_source_or_the_files_or_none(
    tmp_path: Path, own: str, head: str, source: str
) -> None:
    base = _base(tmp_path, f"    damage_limit: Never pressure.\n{own}", "safety-limits: []\n", head)
    assert [limit.source for limit in load_book(base=base).inspections["valve-holds"].safety_limits] == [
        source
    ]


def test_a_limit_that_no_layer_has_is_refused_where_it_is_named(tmp_path: Path) -> None:
    found = check(base=_base(tmp_path, "    safety_limits: [diafragm-vacuum]\n    leads: On it.\n"))
    saw = [(one.check, one.saw, one.place.file.endswith(VALVE)) for one in found]
    assert ("unknown-id", "the safety limit 'diafragm-vacuum', which no layer has", True) in saw
    assert any("diaphragm-vacuum" in one.mend for one in found)


def test_a_limit_that_nothing_keeps_to_is_refused(tmp_path: Path) -> None:
    assert [one.check for one in check(base=_base(tmp_path, ""))] == ["unused-entry"]


def test_a_layer_that_replaces_a_limit_changes_every_inspection_that_names_it(tmp_path: Path) -> None:
    base = _base(tmp_path / "base", "    safety_limits: [diaphragm-vacuum]\n")
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "own.yaml").write_text(
        "safety-limits: [{id: diaphragm-vacuum, replaces: diaphragm-vacuum, text: At most 30 kPa.}]\n"
    )
    one = load_book([tmp_path / "own"], base=base).inspections["valve-holds"]
    assert one.damage_limit.startswith("At most 30 kPa")
