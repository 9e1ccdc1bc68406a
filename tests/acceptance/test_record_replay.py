"""The shipped cases give byte for byte the same, whatever the hash seed, time zone, locale and chainer."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from proveout.chain import engines

_PROGRAM = """
import sys
from helpers_record import triage_of
from helpers_shipped import shipped_book, shipped_cases
from proveout.record.digests import triage_digest
from proveout.show import triage_document
from proveout.text import compose, plain, read_text

book = shipped_book()
for path in shipped_cases():
    document = plain(compose(read_text(path), path.name))
    print(path.stem, triage_digest(triage_document(triage_of(book, document, sys.argv[1]), book)))
"""

_AROUND = {
    "plain": {"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "C"},
    "far": {
        "PYTHONHASHSEED": "4242",
        "TZ": "Pacific/Kiritimati",
        "LC_ALL": "tr_TR.UTF-8",
        "LANG": "tr_TR.UTF-8",
    },
}


def replayed(engine: str, around: str) -> str:
    """Give the names of all shipped cases with the digests of their triages, computed in a fresh process."""
    tests = Path(__file__).resolve().parents[1]
    done = subprocess.run(
        [sys.executable, "-c", _PROGRAM, engine],
        env={**os.environ, "PYTHONPATH": str(tests), **_AROUND[around]},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def expected() -> str:
    return replayed("reference", "plain")


def test_there_are_cases(expected: str) -> None:
    assert len(expected.splitlines()) >= 15


@pytest.mark.parametrize("engine", engines())
def test_every_case_replays_identically(engine: str, expected: str) -> None:
    assert replayed(engine, "far") == expected
