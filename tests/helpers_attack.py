"""What a stranger may hand over: case files sealed by himself, with whatever in them."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import Answer, proveout
from helpers_record import at
from proveout.record.event import NO_PREVIOUS, Event, digest_of, write
from proveout.record.header import HEADER

#: A case that the shipped book can use.
INTAKE: dict[str, Any] = {"codes": ["P0451"], "vehicle": {"age_years": 15, "mileage_km": 188000}}
#: The cause behind it, and the look that shows it.
CAUSE = {"cause": "sensor-hose-cracked"}
HOSE = {"inspection": "sensor-hose-look", "result": "cracked-or-off"}


def sealed(path: Path, *entries: tuple[str, Any]) -> Path:
    """Write a case file of any kinds and bodies whose chain holds: whoever keeps a file can do so."""
    previous, parts = NO_PREVIOUS, [HEADER.encode()]
    for n, (kind, body) in enumerate(entries, 1):
        event = Event(n, at(n), kind, previous, body, digest_of(n, at(n), kind, previous, body))
        previous = event.digest
        parts.append(write(event))
    path.write_bytes(b"".join(parts))
    return path


def case_commands(case: Path, out: Path) -> Sequence[Sequence[object]]:
    """Return every command that reads a case file, with what it needs."""
    return (
        ["triage", case, "--json"],
        ["steps", case],
        ["why", case],
        ["record", case, "sensor-hose-look", "sound"],
        ["record", case, "--withdraw", 2],
        ["ready", case, "--model-year", 2011],
        ["purchase", case, "sensor-hose-cracked", "--cost", 6, "--reason", "x"],
        ["repair", case, "sensor-hose-cracked"],
        ["verify", case, "--codes-cleared"],
        ["close", case, "given-up"],
        ["audit", case, "--json"],
        ["audit", case, "--full"],
        ["audit", case, "--mend"],
        ["report", case, "--out", out],
        ["cases", case.parent, "--json"],
        ["cases", case.parent, "--totals"],
        ["learn", case.parent],
    )


def run(*arguments: object, home: Path) -> Answer:
    """Run a command and require what every command owes: a documented exit code and no traceback."""
    answer = proveout(*arguments, home=home)
    assert answer.code in (0, 1, 2, 3, 4), (arguments, answer)
    assert "Traceback" not in answer.out + answer.err and "Internal fault" not in answer.err, answer
    return answer


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The user's own directories, shared by the tests of a session so that the book is checked once."""
    return tmp_path_factory.mktemp("home")


def command_line() -> list[str]:
    """Return what starts the program as a process of its own."""
    return [sys.executable, "-c", "from proveout.cli.entry import entry; entry()"]
