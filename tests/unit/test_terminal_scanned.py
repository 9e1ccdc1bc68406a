"""The code to scan holds the address, and what cannot show it says so."""

from __future__ import annotations

import io
import sys

import pytest
import segno

from helpers_cli import proveout
from proveout.terminal.scanned import code_of, invite

ADDRESS = "http://192.0.2.7:8460/enter/abcdefghijklmnopqrstuvwxyz012345"
_ROWS = {"█": (0, 0), "▀": (0, 1), "▄": (1, 0), " ": (1, 1)}


def test_the_drawing_is_the_code_with_its_quiet_zone() -> None:
    """Source of the modules: segno, an implementation of ISO/IEC 18004, as are the four light ones around."""
    lines = code_of(ADDRESS).splitlines()
    drawn = [[_ROWS[block][half] for block in line] for line in lines for half in (0, 1)]
    matrix = [list(row) for row in segno.make(ADDRESS, micro=False, error="m").matrix]
    assert [row[4:-4] for row in drawn[4 : 4 + len(matrix)]] == matrix
    assert not any(any(row) for row in drawn[:4]) and {len(line) for line in lines} == {len(matrix) + 8}


@pytest.mark.parametrize(("encoding", "drawn"), [("utf-8", True), ("latin-1", False)])
def test_an_output_that_cannot_draw_says_so(
    encoding: str, drawn: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    output = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    monkeypatch.setattr(sys, "stderr", output)
    invite(ADDRESS, scanned=True)
    output.flush()
    said = output.buffer.getvalue().decode(encoding)
    assert ADDRESS in said and ("█" in said) == drawn and ("type the address" in said) != drawn


def test_without_the_extra_it_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    home = tmp_path_factory.mktemp("home")
    for name in [name for name in sys.modules if name.startswith("proveout.web")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "uvicorn", None)
    answer = proveout("serve", home, home=home)
    assert answer.code == 2 and "pip install 'proveout[web]'" in answer.err
