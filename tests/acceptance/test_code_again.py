"""Codes that were asked for before are told without click: the same as by the command, or not at all."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from helpers_shipped import shipped_book
from proveout.app import first_looks, looks_kept
from proveout.book.compiled import made_from
from proveout.cli.main import run
from proveout.terminal.code_again import answer
from proveout.terminal.columns import columns

CODES = ["P0442", "P0300", "P0171", "U0100", "C0040"]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep first looks in an empty directory, for files of which the latest is long past."""
    book = shipped_book()
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setattr(first_looks, "open_book", lambda _layers, _tell: book)
    stamp = made_from.stamp_of
    monkeypatch.setattr(first_looks, "stamp_of", lambda *given: (stamp(*given)[0], 0))
    return tmp_path / "cache" / "proveout" / "first-looks"


def told(codes: list[str], capsys: pytest.CaptureFixture[str]) -> bytes:
    """Return what the command prints."""
    assert run(["code", *codes]) == 0
    return capsys.readouterr().out.encode()


@pytest.mark.parametrize("width", ["40", "73", "100", "1000", "0", "wide"])
def test_it_says_what_the_command_says(
    home: Path, width: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert home.parent.parent.name == "cache"
    monkeypatch.setenv("COLUMNS", width)
    known = [code for code in CODES if code in shipped_book().words.codes]
    assert len(known) > 2
    for codes in (*([code] for code in known), known, ["P0442", "P0442"]):
        said = told(codes, capsys)
        assert answer(codes) == said
        assert columns() == max(40, min(100, shutil.get_terminal_size((80, 24)).columns))


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["P0442", "--full"],
        ["--json", "P0442"],
        ["-h"],
        ["p0442"],
        ["P0442,P0171"],
        ["P0442-1A"],
        ["P044"],
        ["P4442"],
        ["P1234"],
        ["P0455"],
        ["--", "P0442"],
        [""],
    ],
)
def test_what_takes_more_is_left_to_the_command(
    home: Path, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    told(["P0442", "P0171", "P1234"], capsys)
    assert list((home / "seen").iterdir())
    assert answer(words) is None


def test_settled_layers_are_left_to_the_command(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told(["P0442"], capsys)
    assert home.is_dir() and answer(["P0442"])
    standing = tmp_path / "config" / "proveout" / "standing.yaml"
    standing.parent.mkdir(parents=True)
    standing.write_text("layers: [shop]\n")
    assert answer(["P0442"]) is None


@pytest.mark.parametrize("damage", ["torn", "altered", "empty", "another form", "not UTF-8", "gone"])
def test_what_does_not_hold_is_left_to_the_command(
    home: Path, damage: str, capsys: pytest.CaptureFixture[str]
) -> None:
    told(["P0442"], capsys)
    (note,) = (home / "seen").iterdir()
    whole = note.read_bytes()
    damaged = {
        "torn": whole[:100],
        "altered": whole.replace(b"leak", b"lead", 1),
        "empty": b"",
        "another form": looks_kept.sealed(b"[]").encode(),
        "not UTF-8": b"\xff" + whole[1:],
    }
    if damage == "gone":
        note.unlink()
    else:
        note.write_bytes(damaged[damage])
    assert answer(["P0442"]) is None


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="no owners here")
def test_what_others_may_write_is_left_to_the_command(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told(["P0442"], capsys)
    (note,) = (home / "seen").iterdir()
    for path in (note, home):
        mode = path.stat().st_mode
        path.chmod(mode | 0o022)
        assert answer(["P0442"]) is None
        path.chmod(mode)
    assert answer(["P0442"])


def test_a_changed_rule_is_left_to_the_command(
    home: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from proveout.terminal import code_again

    told(["P0442"], capsys)
    assert home.is_dir() and answer(["P0442"])
    other = tmp_path / "rules"
    other.mkdir()
    monkeypatch.setattr(code_again, "shipped_at", lambda _name: str(other))
    assert answer(["P0442"]) is None
