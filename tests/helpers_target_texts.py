"""Targets of the fuzz harness that take other texts than documents, and a case through the whole advice."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp
from typing import Any

from helpers_book import write_book
from helpers_shipped import shipped_book
from helpers_target_commands import BrokenPromiseError, refused
from proveout.app import batching, simulating
from proveout.app.first_looks import _read as first_look
from proveout.app.looks_kept import sealed as sealed_look
from proveout.app.working import BookKey, hold
from proveout.book.compiled.shelf import SUFFIX, Shelf
from proveout.book.load import load_book
from proveout.intake.document import case_of
from proveout.intake.frame import frame_from_bytes, monitors_from_bytes
from proveout.intake.index import index_for
from proveout.intake.table import table_of
from proveout.intake.words import match
from proveout.measure.compute import compute
from proveout.model.book import Book
from proveout.model.case import Costs
from proveout.model.problem import BadInputError
from proveout.physics.registry import FORMULAS
from proveout.plan.advice import advise
from proveout.record.documents import triage_document
from proveout.show.triage import triage_text
from proveout.text.compose import compose
from proveout.text.node import find, plain
from proveout.text.read import decode
from proveout.text.schema import validate
from proveout.text.visible import visible
from proveout.trial import kept
from proveout.trial.played import Played
from proveout.trial.simulate import Drawing


@cache
def small_book() -> Book:
    """Return a book of two causes, in which planning takes next to no time."""
    return load_book((), base=write_book(Path(mkdtemp(prefix="fuzz-book-"))))


def advice(data: bytes) -> bool:
    """An intake document through the whole of triage, to the JSON and the text that are shown."""

    def action() -> None:
        node = compose(decode(data, "case.yaml"), "case.yaml")
        if problems := validate(node, "intake"):
            raise BadInputError(*problems)
        case = case_of(plain(node), small_book(), lambda path: find(node, path).place)
        answer = advise(case, small_book())
        json.dumps(triage_document(answer, small_book()), allow_nan=False)
        if not all(0 <= one.confidence <= 1 for one in answer.hypotheses):
            raise BrokenPromiseError("a confidence that is none")
        triage_text(answer, small_book())

    return refused(action)


def batch_line(data: bytes) -> bool:
    """A line of a batch: always one document, which says what was wrong."""
    piece = batching.Piece(hold(small_book(), ()), None, "line", data, 1)
    answer = batching.try_piece(piece)
    json.dumps(answer, allow_nan=False)
    found = answer.get("problems", ())
    if any(problem["check"] == "internal-fault" for problem in found):
        raise BrokenPromiseError(str(found))
    return bool(found)


def table(data: bytes) -> bool:
    """A table of codes and live values that some reader saved."""
    return refused(lambda: table_of(decode(data, "table.csv"), "table.csv", {}))


def frame(data: bytes) -> bool:
    """Freeze frame and readiness in hexadecimal."""
    text = data.decode("utf-8", "replace")
    return refused(lambda: frame_from_bytes(text)) & refused(lambda: monitors_from_bytes(text, small_book()))


def said(data: bytes) -> bool:
    """What a driver says, matched to the shipped words."""
    found, lost = match([data.decode("utf-8", "replace")[:2000]], index_for(shipped_book()))
    visible(" ".join([*(one.clause for one in found), *lost]))
    return not found


def formula(data: bytes) -> bool:
    """A formula of the trade with arguments as typed: its name, then ``parameter=value`` a line."""
    name, *rest = data.decode("utf-8", "replace").split("\n")
    typed = {key: value for key, _, value in (item.partition("=") for item in rest)}

    def action() -> None:
        for answer in compute(name, typed):
            json.dumps([answer.value, answer.unit], allow_nan=False)

    return refused(action)


def _run() -> simulating.Run:
    return simulating.Run(BookKey((), "0" * 64), Drawing(1, (("P0442", 1.0),), frozenset(), Costs(), 1.0))


def resumed(data: bytes) -> bool:
    """The file of a simulation that is to go on; what is not one stays as it was."""
    with TemporaryDirectory() as home:
        path = Path(home) / "run.jsonl"
        path.write_bytes(data)
        refusal = refused(lambda: simulating._before(path, _run()))
        left = path.read_bytes()
        if not data.startswith(left) and not left.startswith(data):
            raise BrokenPromiseError("a file of another kind was written over")
        return refusal


def shelf(data: bytes) -> bool:
    """What lies in the user's cache under the name of a compiled book, or of a first look: never believed."""
    with TemporaryDirectory() as home:
        Path(home).chmod(0o700)
        digest = "ab" * 32
        path = Path(home) / f"key-{digest}{SUFFIX}"
        path.write_bytes(data)
        if Shelf(Path(home)).find("key") is not None:
            raise BrokenPromiseError("a book that does not answer to its name is opened")
    first_look(sealed_look(b"{}")[:64] + data.decode("utf-8", "replace"))
    first_look(sealed_look(data.decode("utf-8", "replace").encode()))
    return True


def intake_seeds() -> list[bytes]:
    """Return intake documents for the small book, with every key that counts there."""
    rich: dict[str, Any] = {
        "codes": ["P0442", {"code": "P0455", "status": "pending"}],
        "symptoms": ["smell"],
        "vehicle": {"age_years": 14, "mileage_km": 183000, "fuel": "petrol", "has": ["turbo"]},
        "freeze_frame": {"coolant_c": 82.5, "rpm": 790, "load_pct": 31.5},
        "replaced": ["valve"],
        "recent_work": ["tank-out"],
        "tools": ["pump"],
        "costs": {"per_hour": 30, "refer_out": 250, "refer_proven": 60, "threshold": 0.9, "currency": "X"},
        "own_figures": [{"inspection": "valve-holds", "limits": {"holds": "..-15 inHg"}, "reference": "s"}],
        "readings": [
            {"inspection": "hose-look", "result": "whole"},
            {"inspection": "valve-holds", "value": "-12 kPa"},
        ],
        "said": ["smells after filling up"],
        "set_aside": {"hose-look": "not-today"},
    }
    less: list[dict[str, Any]] = [{}, {"readings": []}, {"costs": {}, "replaced": []}]
    return [json.dumps({**rich, **other}).encode() for other in less]


def said_seeds() -> list[bytes]:
    """Return what drivers say."""
    return [
        b"It smells of petrol after filling up, and sometimes it stalls at the lights.",
        b"no smell of fuel; rough idle when cold, then fine for two weeks",
        "Der Motor läuft unrund – hesitates, white smoke, whine from the front".encode(),
    ]


def resumed_seeds() -> list[bytes]:
    """Return the file of the run that is wanted, whole and torn."""
    run = _run()
    first = json.dumps(kept.heading(run.drawn, run.book.digest)) + "\n"
    leaks = "valve-leaks"
    played = Played("P0442", "evap", (leaks,), leaks, "repair", leaks, True, (), 3, 9, 40, 30)
    whole = first + "".join(kept.line(number, played) for number in range(3))
    return [whole.encode(), whole[:-20].encode(), first.encode()[:30]]


TABLES = (
    b"code,status,name,value,unit\nP0442,pending,,,\n,,coolant temperature,82.5,degC\n",
    b"code;status;name;value;unit\nP0420;stored;;;\n;;rpm;790;rpm\n;;STFT;-3,5;%\n",
    b'name\tvalue\n"speed"\t"50 km/h"\n',
)
FRAMES = (b"05=7B 0C=1AF8", b"00 07 65 04", b"0x04:80, 2F=ff")


def formula_seeds() -> list[bytes]:
    """Return each formula with figures of its own units."""
    found = []
    for name, one in FORMULAS.items():
        pairs = [f"{p.name}={'1, 2, 3' if p.many else '2'} {p.unit}" for p in one.parameters]
        found.append("\n".join([name, *pairs]).encode())
    return found
