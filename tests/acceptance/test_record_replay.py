"""The shipped cases come out as they say, and byte for byte the same wherever they are computed.

Each case is computed twice: here, and by a helper process with another chainer (where there are two), hash
seed, time zone and locale (one without UTF-8). ``REPLAY_PYTHON=/path/to/another/python`` lets the helper run
another version of Python, in which the program must be installed.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers_record import triage_of
from helpers_shipped import shipped_book, shipped_cases
from proveout.record.advice import triage_digest
from proveout.record.documents import triage_document
from proveout.text.compose import compose
from proveout.text.node import plain
from proveout.text.read import read_text
from proveout.text.schema import validate
from proveout.trial.cases import differences

HERE, CASES = "reference", shipped_cases()

#: Answers each case named on standard input with the digest of its triage.
_PROGRAM = """
import sys
from helpers_record import triage_of
from helpers_shipped import shipped_book, shipped_cases
from proveout.chain.closing import engines
from proveout.record.advice import triage_digest
from proveout.record.documents import triage_document
from proveout.text.compose import compose
from proveout.text.node import plain
from proveout.text.read import read_text

book, paths = shipped_book(), {path.stem: path for path in shipped_cases()}
for line in sys.stdin:
    path = paths[line.strip()]
    document = plain(compose(read_text(path), path.name))
    answer = triage_of(book, document, engines()[0])
    print(path.stem, triage_digest(triage_document(answer, book)), flush=True)
"""


def surroundings() -> dict[str, str]:
    """Return an environment that shares neither hash seed nor time zone nor locale with this process."""
    changed = {
        "PYTHONHASHSEED": "4242" if os.environ.get("PYTHONHASHSEED") != "4242" else "4243",
        "TZ": "Pacific/Kiritimati" if os.environ.get("TZ") != "Pacific/Kiritimati" else "America/St_Johns",
        # Python would take UTF-8 in this locale, too, if it were not told otherwise.
        "LC_ALL": "C",
        "PYTHONUTF8": "0",
        "PYTHONCOERCECLOCALE": "0",
        "PYTHONPATH": str(Path(__file__).resolve().parents[1]),
    }
    return {**os.environ, **changed}


@pytest.fixture(scope="module")
def elsewhere() -> Iterator[subprocess.Popen[str]]:
    python = os.environ.get("REPLAY_PYTHON", sys.executable)
    with subprocess.Popen(
        [python, "-c", _PROGRAM],
        env=surroundings(),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as helper:
        yield helper


def test_there_are_cases() -> None:
    assert len(CASES) >= 200


@pytest.mark.parametrize("path", CASES, ids=[path.stem for path in CASES])
def test_every_case_comes_out_as_expected_and_the_same_elsewhere(
    path: Path, elsewhere: subprocess.Popen[str]
) -> None:
    assert elsewhere.stdin is not None and elsewhere.stdout is not None
    print(path.stem, file=elsewhere.stdin, flush=True)  # both compute at the same time
    node = compose(read_text(path), path.name)
    assert validate(node, "intake") == ()
    document, book = plain(node), shipped_book()
    answer = triage_of(book, document, HERE)
    came = next((line for line in elsewhere.stdout if line.startswith(f"{path.stem} ")), "")
    assert differences(document["expect"], answer) == []
    assert f"{path.stem} {triage_digest(triage_document(answer, book))}\n" == came
