"""Whole commands as targets of the fuzz harness: any words for any command, and chains sealed anew."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import chdir
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp
from typing import Any
from zlib import crc32

import click

from helpers_attack import INTAKE, sealed
from helpers_cli import Answer, proveout
from proveout.cli.main import COMMANDS, main
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record import casefile
from proveout.record.event import KINDS
from proveout.text.visible import visible


class BrokenPromiseError(AssertionError):
    """An input made the program break one of its promises."""


def refused(action: Callable[[], object]) -> bool:
    """Say whether an action was refused with located complaints; any other exception goes through."""
    try:
        action()
    except (BadInputError, DamagedRecordError) as error:
        if not error.problems or not all(problem.saw for problem in error.problems):
            raise BrokenPromiseError("a refusal that does not say what was seen") from error
        return True
    return False


#: Commands that no words are made up for: they work long by their nature, as on the whole book.
_WHOLE_BOOK = ("test", "simulate", "compare", "coverage", "check", "docs", "new")
LONG = frozenset(f"rules {below}" for below in _WHOLE_BOOK)


@cache
def _home() -> Path:
    """Return directories of the user's own, kept as long as the process: the book is compiled once."""
    return Path(mkdtemp(prefix="fuzz-home-"))


def asked(*words: object, stdin: str = "") -> Answer:
    """Run a command and require a documented exit code, JSON where it was asked for, nothing hidden."""
    answer = proveout(*words, home=_home(), stdin=stdin)
    if answer.code not in (0, 1, 2, 3, 4):
        raise BrokenPromiseError(f"{words[0]}: exit code {answer.code}: {answer.err[:500]}")
    if visible(answer.out + answer.err) != answer.out + answer.err:
        raise BrokenPromiseError(f"{words[0]}: hidden characters are printed")
    if "--json" in words and not answer.out.startswith("Usage:"):  # --help beside it asks for help
        json.loads(answer.out)
    return answer


@cache
def commands() -> Mapping[str, click.Command]:
    """Return every command with those below ``rules``, by the words that name it."""
    context = click.Context(main)
    found: dict[str, click.Command] = {}
    for name in COMMANDS:
        command = main.get_command(context, name)
        assert command is not None
        if isinstance(command, click.Group):
            found |= {f"{name} {below}": one for below, one in command.commands.items()}
        else:
            found[name] = command
    return found


def arguments(data: bytes) -> bool:
    """The words of a command line, one a line; the first line names the command."""
    first, *rest = data.decode("utf-8", "surrogateescape").replace("\0", "").split("\n")
    short = [name for name in commands() if name not in LONG | {"demo", "batch", "work", "serve"}]
    name = first if first in short else short[crc32(first.encode("utf-8", "replace")) % len(short)]
    words = [word.replace("/", "_") for word in rest if word][:8]  # what is written stays in the directory
    with TemporaryDirectory() as home, chdir(home):
        sealed(Path("case.yaml"), ("intake", INTAKE))
        takes = [one.name for one in commands()[name].params if isinstance(one, click.Argument)]
        place = {"case": "new.yaml" if name == "intake" else "case.yaml", "directory": "."}
        begin = [place[one] for one in takes[:1] if one in place]
        return asked(*name.split(), *begin, *words).code in (2, 3)


def sealed_case(data: bytes) -> bool:
    """Events of any kinds and bodies, sealed: JSON in, ``[[kind, body], ...]``; then every reader."""
    try:
        entries = json.loads(data)
        events = [(kind, body) for kind, body in entries if kind in KINDS and isinstance(body, dict)]
    except (ValueError, TypeError, RecursionError):
        return True
    with TemporaryDirectory() as home:
        path = Path(home) / "case.yaml"
        try:
            sealed(path, *events)
        except Exception:  # what cannot be spelled cannot be handed over either
            return True
        damaged = refused(lambda: casefile.read(path))
        answer = asked("audit", path, "--json")
        if damaged != (answer.code == 4):
            raise BrokenPromiseError(f"read refused: {damaged}, but the audit gave {answer.code}")
        for words in _readers(path, damaged):
            asked(*words)
        return damaged


def _readers(path: Path, damaged: bool) -> Iterator[Sequence[object]]:
    """Return the commands that a case is given to; of one that is refused, each says so in the same way."""
    yield ["triage", path, "--json"]
    yield ["cases", path.parent, "--json"]
    if not damaged:
        yield ["report", path]
        yield ["ready", path, "--json", "--model-year", "2011"]
        yield ["learn", path.parent, "--json"]


def _json(*events: tuple[str, Any]) -> bytes:
    return json.dumps([list(event) for event in events], ensure_ascii=False).encode()


def sealed_seeds() -> list[bytes]:
    """Return every kind of event with every key that readers look at."""
    hose = {"inspection": "sensor-hose-look", "result": "cracked-or-off"}
    cause = {"cause": "sensor-hose-cracked"}
    advice = {"book": {"digest": "0" * 64}, "causes": [{"id": "sensor-hose-cracked", "confidence": 0.9}]}
    series = [["0kPa", "2.5V"], ["-1kPa", "2.2V"]]
    rich = {
        **INTAKE,
        "title": "t",
        "said": ["it smells"],
        "own_figures": [],
        "readings": [hose],
        "costs": {"threshold": 0.9},
    }
    bought: list[tuple[str, dict[str, Any]]] = [
        ("advice", {**advice, "verdict": {"kind": "repair", **cause, "reasons": ["x"]}}),
        ("purchase", {**cause, "cost": 6, "part": "hose", "against_verdict": False}),
        ("repair", {**cause, "action": "replace", "component": "fuel-cap", "voids": ["sensor-hose-look"]}),
        (
            "verification",
            {"repeated": [hose], "codes_cleared": True, "codes_now": ["P0451"], "monitors_run": ["evap"]},
        ),
        ("close", {"outcome": "not-confirmed", **cause, "note": "n"}),
    ]
    begun = ("intake", INTAKE)
    five_volts = {
        "inspection": "tank-sensor-five-volts",
        "value": "4.98 V",
        "conditions": ["altitude 900 m"],
    }
    return [
        _json(("intake", rich), ("reading", hose), ("withdrawal", {"event": 2, "reason": "r"})),
        _json(begun, ("note", {"text": "x", "adds": {"codes": [{"code": "P0442", "status": "pending"}]}})),
        _json(begun, *bought),
        _json(begun, *bought, ("reopening", {"reason": "came back"}), ("reading", hose)),
        _json(begun, ("reading", five_volts)),
        _json(begun, ("reading", {"inspection": "tank-sensor-vacuum-series", "series": series})),
        _json(
            begun,
            ("amendment", {"drops": {"codes": ["P0451"]}, "adds": {"codes": ["P0442"]}}),
            ("mending", {**cause, "minutes": 5, "cost": 2, "note": "n"}),
            ("watch", {"since": "comes-back", "note": "n"}),
        ),
    ]


#: Words that each command understands, one a line below its name.
_WORDS = """
code P0442 --full --json
compute orifice-flow diameter=0.020_in pressure=10_inH2O
compute leak-size end=-1_kPa start=-2.5_kPa seconds=60_s volume=40_L
triage --json --full
steps sensor-hose-look --display us
why sensor-hose-cracked --json
record tank-sensor-five-volts 4.98_V --under altitude_900_m
record purge-valve-holds-vacuum -20_inhg --with gauge
record tank-sensor-vacuum-series 0kPa=2.5V -1kPa=2.2V -2kPa=1.8V -3kPa=1.6V
record --withdraw 1 --json
record cannot-reach
purchase sensor-hose-cracked --cost 6 --reason x
repair sensor-hose-cracked --minutes 20 --cost 3
mend sensor-hose-cracked --minutes 20
watch stays-away --note x
verify --again sensor-hose-look=sound --codes-cleared --driven 30_km --no-code
verify --counter misfire-3=0 --json
ready --ready catalyst --not-ready evap --model-year 2011
close given-up --note x
reopen --reason x
undo --json
amend --code P0171 --symptom rough_idle --not-code P0451
intake --code P0442 --age 14 --mileage 93k_mi --said it_smells --per-hour 3,50 --frame 05=7B_0C=1AF8
intake --code P0420:pending --readiness 00_07_65_04 --has turbo --motor 2.0_V6 --absent fuel_smell
audit --head 0123456789abcdef --json
report --for customer --redact
cases --code P0451 --most 5 --json
learn --json
rules list symptoms --json
rules show code:P0442
rules explain unknown-id
completion bash
"""


def word_seeds() -> list[bytes]:
    """Return command lines that are understood; a low line stands for a blank within a word."""
    found = []
    for line in _WORDS.strip().splitlines():
        name = next(
            one for one in sorted(commands(), key=len, reverse=True) if f"{line} ".startswith(f"{one} ")
        )
        words = [word.replace("_", " ") for word in line.removeprefix(name).split()]
        found.append("\n".join([name, *words]).encode())
    return found
