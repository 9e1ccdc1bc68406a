"""Checks of what is forgotten: codes that a test sets, the second person, the fuse that was pulled."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_book import write_topics
from proveout.book.load import made_from_texts

VALVE = "evap/valve.yaml"
STEPS = "steps: [Pump., Wait.]"
NAMES = ("codes-uncleared", "revs-held-alone", "removed-undeclared")


def _told(home: Path, state: str, step: str) -> list[tuple[str, str]]:
    """Return what is told of a step and a state in the place of the shipped-shaped ones: check and text."""
    extra = f"    state: {{{state}}}\n"
    base = write_topics(home, (VALVE, f"    {STEPS}", f'{extra}    steps: ["{step}"]'))
    found = made_from_texts([], base=base)[1]
    return [(p.check, p.saw) for p in found if p.place.file.endswith(VALVE) and p.check in NAMES]


@pytest.mark.parametrize(
    ("name", "state", "step", "saw"),
    [
        ("codes-uncleared", "key: on, unplugged: [the valve], put_back: true", "Key on; read.", "unplugged"),
        ("codes-uncleared", "engine: running, unplugged: [the valve], put_back: true", "Start.", "unplugged"),
        ("revs-held-alone", "engine: running", "Hold 2,500 rpm and read.", "2,500 rpm"),
        ("revs-held-alone", "engine: running", "Then from 2000 rpm.", "2000 rpm"),
        ("removed-undeclared", "key: off", "Key off, fuse out. Measure to ground.", "fuse out"),
        ("removed-undeclared", "key: off", "Pull the pump's fuse.", "pump's fuse"),
    ],
)
def test_what_is_forgotten_is_told(tmp_path: Path, name: str, state: str, step: str, saw: str) -> None:
    found = _told(tmp_path, state, step)
    assert [check for check, _ in found] == [name]
    assert saw.lower() in found[0][1].lower()


@pytest.mark.parametrize(
    ("state", "step"),
    [
        ("key: off, unplugged: [the valve], put_back: true", "Unplug the valve."),
        ("key: on, unplugged: [the valve], put_back: true, codes: cleared", "Unplug the valve."),
        ("key: on, unplugged: [the valve], put_back: true", "Unplug the valve; clear the codes at the end."),
        ("engine: running, helper: holds the revs", "At 2,500 rpm read."),
        ("engine: running", "A helper holds 2,500 rpm."),
        ("engine: running", "A change of 50 rpm is ordinary."),
        ("key: off, removed: [the fuse], put_back: true", "Key off, fuse out."),
        ("key: off", "Never pull the fuse."),
        ("key: off", "Fuse out, look, fuse back."),
    ],
)
def test_what_is_remembered_passes(tmp_path: Path, state: str, step: str) -> None:
    assert _told(tmp_path, state, step) == []
