"""Every option and argument of every command with what nobody should type: answered or refused.

The options are found by walking the commands, so that a new one is swept from the day it is there.
``PROVEOUT_SWEEP=10`` tries each of them with every value.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import chdir
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest import mock

import click
import pytest

from helpers_attack import INTAKE, sealed
from helpers_cli import Answer, proveout
from helpers_shipped import shipped_book
from helpers_target_commands import commands
from proveout.book import load
from proveout.book.compiled.shelf import Shelf
from proveout.book.files import Layer
from proveout.model.book import Book
from proveout.text.visible import visible

#: What moves the cursor, hides, or is no character.
_MARKS = "\x1b[2J\x1b]0;x\x07\u202e\u200f\x85"
#: No number that anybody means.
NUMBERS = ("NaN", "inf", "-inf", "99999999999999999999", "-1", "1e400", "9" * 5000, "", _MARKS)
#: Text, dates and readings among it, and names of files, that nobody means.
TEXTS = (_MARKS, "", "a\nb", "x" * 100_000, "NaN V", "1e400 V", "-", "9" * 5000, "2011-02-30", "case.yaml/x")
#: So many of the values are tried with each option, beginning with another one at the next; 10 are all.
TRIED = int(os.environ.get("PROVEOUT_SWEEP", "1"))
#: What opens a server, waits for somebody, or goes through the whole book for each value.
LEFT_OUT = frozenset(
    {"serve", "demo", "work", "rules docs"}
    | {f"rules {name}" for name in ("test", "simulate", "compare", "coverage", "effect", "check")}
)
#: What a command needs besides what is swept: its arguments by name, and options.
NEEDED = {
    "case": "case.yaml",
    "directory": "cases",
    "inspection": "sensor-hose-look",
    "reading": "sound",
    "cause": "sensor-hose-cracked",
    "since": "stays-away",
    "outcome": "given-up",
    "sources": "case.yaml",
    "paths": "own.yaml",
    "shell": "bash",
    "kind": "causes",
    "entry": "P0442",
    "codes": "P0442",
}
OPTIONS = {"--cost": "6", "--reason": "x", "--in": "own", "--model-year": "2011"}
BEGUN = (("intake", INTAKE), ("reading", {"inspection": "sensor-hose-look", "result": "cracked-or-off"}))
CAUSE = {"cause": "sensor-hose-cracked"}
#: What a case has been through before a command makes sense.
BEFORE = {
    "verify": (("repair", {**CAUSE, "voids": ["sensor-hose-look"]}),),
    "watch": (("mending", CAUSE),),
    "reopen": (("close", {"outcome": "given-up"}),),
}


def _swept() -> Iterator[tuple[str, click.Parameter]]:
    """Return each option and argument that takes something, with its command."""
    for name, command in commands().items():
        if name not in LEFT_OUT:
            yield from ((name, one) for one in command.params if not getattr(one, "is_flag", False))


def _words(name: str, swept: click.Parameter, value: str) -> Sequence[str]:
    """Return a command line in which one option or argument has a value, and the others what they need."""
    words, behind = name.split(), list[str]()
    params = commands()[name].params
    for one in params:
        option = one.opts[0] if isinstance(one, click.Option) else ""
        if option and one is swept:
            words.append(f"{option}={value}")
        elif option in OPTIONS and one.required:
            words.append(f"{option}={OPTIONS[option]}")
        elif not option and (one is swept or one.name in NEEDED):
            behind.append(value if one is swept else NEEDED[str(one.name)])
    if name == "intake":
        behind = [value if swept.name == "case" else "new.yaml"]
        words += [] if "codes" in str(swept.name) else ["--code", "P0442"]
    flags = {option for one in params for option in one.opts}
    return [*words, *(["--json"] if "--json" in flags else []), "--", *behind]


def _asked(name: str, words: Sequence[str], home: Path) -> Answer:
    with TemporaryDirectory() as place, chdir(place):
        sealed(Path("case.yaml"), *BEGUN, *BEFORE.get(name, ()))
        Path("own.yaml").write_text("components: []\n", "utf-8")
        Path("cases").mkdir()
        return proveout(*words, home=home)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The user's directories, with the shipped book in memory: how it is opened is not asked here."""
    opened, book = load._kept, shipped_book()

    def kept(layers: tuple[Layer, ...], own: Shelf, tell: Callable[[str], None]) -> Book:
        return opened(layers, own, tell) if len(layers) > 1 else book

    with mock.patch.object(load, "_kept", kept):
        yield tmp_path_factory.mktemp("home")


def _values(swept: click.Parameter) -> Sequence[str]:
    """Return what nobody should type for an option or argument, by what it takes."""
    is_number = isinstance(swept.type, click.types.IntParamType | click.types.FloatParamType)
    return NUMBERS if is_number else TEXTS


@pytest.mark.parametrize("command", sorted({name for name, _ in _swept()}))
def test_what_nobody_should_type_is_answered_or_refused(command: str, home: Path) -> None:
    for number, (name, parameter) in enumerate(_swept()):
        if name == command:
            values = _values(parameter)
            for n in range(number, number + min(TRIED, len(values))):
                _require(name, parameter, values[n % len(values)], home)


def _require(name: str, swept: click.Parameter, value: str, home: Path) -> None:
    """Require what every command owes: a documented exit code, nothing hidden, JSON where asked for."""
    words = _words(name, swept, value)
    answer = _asked(name, words, home)
    said = f"{name} {swept.opts[0]} {value[:40]!r}: {answer.code} {answer.out[:500]}{answer.err[:800]}"
    assert answer.code in (0, 1, 2, 3, 4), said
    assert "Traceback" not in answer.out + answer.err, said
    assert visible(answer.out + answer.err) == answer.out + answer.err, said
    assert len(answer.err) < 20_000, said
    if "--json" in words and name != "batch":
        json.loads(answer.out, parse_constant=pytest.fail)
