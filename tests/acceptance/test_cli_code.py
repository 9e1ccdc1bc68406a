"""First looks at codes: kept for the same book and program, and never believed when they do not hold."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from helpers_shipped import shipped_book
from proveout.app import first_looks, looks_kept
from proveout.book.compiled import made_from
from proveout.cli.main import run
from proveout.intake.document import case_of
from proveout.plan.advice import advise


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep first looks in an empty directory, for files of which the latest is long past."""
    book = shipped_book()
    monkeypatch.setattr(first_looks, "cache_dir", lambda: tmp_path)
    monkeypatch.setattr(first_looks, "open_book", lambda _layers, _tell: book)
    stamp = made_from.stamp_of
    monkeypatch.setattr(first_looks, "stamp_of", lambda *given: (stamp(*given)[0], 0))
    return tmp_path / "first-looks" / "seen"


def test_a_first_look_says_what_a_triage_of_the_code_alone_says(home: Path) -> None:
    book = shipped_book()
    (look,) = first_looks.first_looks(["P0442"], ())
    alone = advise(case_of({"codes": ["P0442"]}, book), book)
    assert look is not None and look.first is not None and alone.next is not None
    assert look.first[1] == alone.next.inspection
    assert [share for _, share in look.usual] == [one.confidence for one in alone.hypotheses[:3]]
    assert len(list(home.iterdir())) == 1


def test_it_is_worked_out_once(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = first_looks.first_looks(["P0442", "P1234"], ())
    assert first[1] is None and len(list(home.iterdir())) == 1
    monkeypatch.setattr(first_looks, "_worked_out", lambda _book, code: pytest.fail(code))
    assert first_looks.first_looks(["P0442"], ()) == first[:1]


@pytest.mark.parametrize("damage", ["torn", "altered", "empty", "another form", "not UTF-8"])
def test_a_damaged_one_is_worked_out_anew(home: Path, damage: str) -> None:
    first = first_looks.first_looks(["P0442"], ())
    (note,) = home.iterdir()
    whole = note.read_bytes()
    note.write_bytes(
        {
            "torn": whole[:100],
            "altered": whole.replace(b"leak", b"lead", 1),
            "empty": b"",
            "another form": looks_kept.sealed(b"[]").encode(),
            "not UTF-8": b"\xff" + whole[1:],
        }[damage]
    )
    assert first_looks.first_looks(["P0442"], ()) == first
    assert note.read_bytes() == whole


def test_a_layer_and_a_changed_file_are_told_apart(home: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "note.yaml").write_text("tools: []\n")
    first_looks.first_looks(["P0442"], ())
    first_looks.first_looks(["P0442"], (shop,))
    (shop / "note.yaml").write_text("tools:  []\n")
    first_looks.first_looks(["P0442"], (shop,))
    assert len(list(home.iterdir())) == 3


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="no owners here")
def test_a_directory_that_others_may_write_is_not_believed(home: Path) -> None:
    first = first_looks.first_looks(["P0442"], ())
    (note,) = home.iterdir()
    note.write_text(looks_kept.sealed(note.read_bytes()[64:].replace(b"leak", b"lead")))
    assert first_looks.first_looks(["P0442"], ()) != first  # sealed anew by the user: taken
    home.parent.chmod(0o777)
    assert first_looks.first_looks(["P0442"], ()) == first


def test_missing_layers_are_worded_as_everywhere(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["code", "P0442", "--rules", str(tmp_path / "gone")]) == 3
    assert "no such directory" in capsys.readouterr().err


def test_codes_unknown_and_known_stand_under_each_other(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["code", "P1234,P0442"]) == 0
    out = capsys.readouterr().out
    assert out.index("P1234") < out.index("maker") < out.index("P0442") < out.index("First:")
