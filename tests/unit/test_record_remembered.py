"""A process that remembers checked events sees the same as one that reads them anew, and each other byte."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers_shipped import shipped_book
from proveout.app.opening import keep
from proveout.app.recording import appended, record, withdrawn
from proveout.record import casefile
from proveout.record.bodies import Amendment, Reading
from proveout.record.remembered import REMEMBERED


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    REMEMBERED.up_to(100)
    path = tmp_path / "car.yaml"
    keep(path, {"codes": ["P0442"]}, shipped_book(), ())
    yield path
    REMEMBERED.up_to(0)


def test_what_is_remembered_is_what_stands_there(case: Path) -> None:
    book = shipped_book()
    record(case, Reading(inspection="cap-seal-look", result="sound", mark="marked-once"), book, ())
    appended(case, Amendment(adds={"symptoms": ["rough-idle"]}), book, ())
    withdrawn(case, 3, book, ())
    known = casefile.read(case)
    REMEMBERED.up_to(0)
    anew = casefile.read(case)
    assert known == anew and [event.body for event in known] == [event.body for event in anew]


def test_a_changed_byte_is_seen_though_its_event_is_remembered(case: Path) -> None:
    assert casefile.verify(case).sound
    data = case.read_bytes()
    for place in range(0, len(data), max(1, len(data) // 60)):
        changed = bytes([data[place] ^ 1])
        case.write_bytes(data[:place] + changed + data[place + 1 :])
        assert not casefile.verify(case).sound, place
    case.write_bytes(data)
    assert casefile.verify(case).sound


def test_an_event_moved_or_left_out_is_seen(case: Path) -> None:
    record(case, Reading(inspection="cap-seal-look", result="sound"), shipped_book(), ())
    assert casefile.verify(case).sound
    events = case.read_bytes().split(b"---\n")
    for gone in range(1, len(events) - 1):
        case.write_bytes(b"---\n".join(events[:gone] + events[gone + 1 :]))
        assert not casefile.verify(case).sound
