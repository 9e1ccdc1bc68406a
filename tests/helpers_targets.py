"""What the fuzz harness attacks: everything that comes in, as functions of bytes that keep promises.

A target takes bytes, gives them to the program where a stranger could, and returns whether they were
refused. It fails with an exception where a promise is broken: an exception that is no located complaint, an
exit code that is not documented, JSON that is none, hidden characters in what is printed. Chains are sealed
anew after they were mutated, as whoever keeps a file can do.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Mapping
from contextlib import closing
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp
from typing import Any

from helpers_attack import INTAKE, sealed
from helpers_book import write_book
from helpers_cli import Answer, proveout
from helpers_shipped import shipped_book, shipped_cases
from proveout.chain.closing import close
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.measure.own import read_limits
from proveout.measure.reading import read
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record import casefile, snapshot, state
from proveout.record.event import KINDS
from proveout.record.index import CaseIndex
from proveout.record.summary import summarise
from proveout.text.compose import compose
from proveout.text.node import find, plain
from proveout.text.schema import validate
from proveout.text.visible import visible

#: Takes bytes; says whether they were refused.
Target = Callable[[bytes], bool]

_REFUSALS = (BadInputError, DamagedRecordError)


class BrokenPromiseError(AssertionError):
    """An input made the program break one of its promises."""


@cache
def _home() -> Path:
    """Return directories of the user's own, kept as long as the process: the book is compiled once."""
    return Path(mkdtemp(prefix="fuzz-home-"))


def _refused(action: Callable[[], object]) -> bool:
    """Say whether an action was refused with located complaints; any other exception goes through."""
    try:
        action()
    except _REFUSALS as error:
        if not error.problems or not all(problem.saw for problem in error.problems):
            raise BrokenPromiseError("a refusal that does not say what was seen") from error
        return True
    return False


def _text(data: bytes) -> str:
    return data.decode("utf-8", "surrogateescape")


def intake(data: bytes) -> bool:
    """An intake document: text to facts to findings."""

    def action() -> None:
        node = compose(data.decode("utf-8", "replace"), "case.yaml")
        problems = validate(node, "intake")
        if problems:
            raise BadInputError(*problems)
        case = case_of(plain(node), shipped_book(), lambda path: find(node, path).place)
        close(shipped_book(), sheet_of(case, shipped_book()).atoms, "reference")

    return _refused(action)


def case_file(data: bytes) -> bool:
    """The bytes of a case file: checked, folded and summed up in the same way."""
    with TemporaryDirectory() as home:
        path = Path(home) / "case.yaml"
        path.write_bytes(data)
        full = _refused(lambda: state.merged(casefile.read(path)))
        light = _refused(lambda: summarise(data, "case.yaml"))
        if not full and light:
            raise BrokenPromiseError("a case that is whole is left out of lists")
        return full


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
        read_back = _refused(lambda: casefile.read(path))
        answer = _run("audit", path, "--json")
        if read_back != (answer.code == 4):
            raise BrokenPromiseError(f"read refused: {read_back}, but the audit gave {answer.code}")
        for words in (["triage", path, "--json"], ["cases", Path(home), "--json"], ["report", path]):
            _run(*words)
        return read_back


def _run(*words: object) -> Answer:
    """Run a command and require a documented exit code, JSON where it was asked for, nothing hidden."""
    answer = proveout(*words, home=_home())
    if answer.code not in (0, 1, 2, 3, 4):
        raise BrokenPromiseError(f"{words[0]}: exit code {answer.code}: {answer.err[:500]}")
    if visible(answer.out + answer.err) != answer.out + answer.err:
        raise BrokenPromiseError(f"{words[0]}: hidden characters are printed")
    if "--json" in words and answer.out:
        json.loads(answer.out)
    if "--json" in words and answer.code in (0, 1) and not answer.out:
        raise BrokenPromiseError(f"{words[0]}: no JSON at exit code {answer.code}")
    return answer


#: Commands that the words of ``arguments`` are given to.
_COMMANDS = (
    "code",
    "compute",
    "triage",
    "steps",
    "why",
    "record",
    "purchase",
    "verify",
    "close",
    "audit",
    "cases",
)


def arguments(data: bytes) -> bool:
    """The words of a command line, one a line; the first byte names the command."""
    words = [word for word in _text(data[1:]).replace("\0", "").split("\n") if word][:8]
    command = _COMMANDS[data[0] % len(_COMMANDS)] if data else "code"
    with TemporaryDirectory() as home:
        case = sealed(Path(home) / "case.yaml", ("intake", INTAKE))
        place: list[object] = [Path(home)] if command == "cases" else []
        return _run(command, *(place or ([] if command in ("code", "compute") else [case])), *words).code in (
            2,
            3,
        )


def reading(data: bytes) -> bool:
    """What a technician types: a value of any quantity, and limits."""
    text = data[1:].decode("utf-8", "replace")
    kinds = (
        ("voltage", "V"),
        ("pressure", "kPa"),
        ("resistance", "ohm"),
        ("temperature", "degC"),
        ("time", "s"),
    )
    quantity, unit = kinds[data[0] % len(kinds)] if data else kinds[0]
    relative = "atmosphere" if quantity == "pressure" else ""
    refused = _refused(lambda: read(text, quantity, unit, relative))
    _refused(lambda: read_limits(text, quantity, unit, relative))
    return refused


def layer(data: bytes) -> bool:
    """A rule file of a shop."""
    from proveout.book.load import load_book

    with TemporaryDirectory() as home:
        base, shop = write_book(Path(home) / "base"), Path(home) / "shop"
        shop.mkdir()
        (shop / "x.yaml").write_bytes(data)
        return _refused(lambda: load_book((shop,), base=base))


def store(data: bytes) -> bool:
    """A book store of a stranger: the list of files, named by its digest, and a pack with the texts."""
    from hashlib import sha256
    from zlib import compress

    listing, _, packed = data.partition(b"\0")
    with TemporaryDirectory() as home:
        for name in ("books", "packs"):
            (Path(home) / name).mkdir()
        digest = sha256(snapshot.TAG + listing).hexdigest()
        (Path(home) / "books" / f"{digest}.json").write_bytes(listing)
        pack = compress(packed)
        (Path(home) / "packs" / f"{sha256(pack).hexdigest()}.z").write_bytes(pack)
        return _refused(lambda: snapshot.book_of(snapshot.load(Path(home), digest)))


def index(data: bytes) -> bool:
    """The bytes of an index in the user's own directory: made anew or refused, never believed in part."""
    with TemporaryDirectory() as home:
        shop, own = Path(home) / "shop", Path(home) / "own"
        shop.mkdir()
        sealed(shop / "case.yaml", ("intake", INTAKE))
        cases = CaseIndex(shop, own)
        cases.refresh()
        whole = cases.find()
        (file,) = own.glob("*.sqlite")
        file.write_bytes(data)
        try:
            with closing(sqlite3.connect(file)) as base:
                base.execute("PRAGMA quick_check").fetchone()
        except sqlite3.Error:
            pass

        def action() -> None:
            cases.refresh()
            if cases.find() != whole:
                raise BadInputError(*cases_differ())

        return _refused(action)


def cases_differ() -> tuple[Any, ...]:
    """Return the complaint about an index of the user's own that says other things: it is the user's word."""
    from proveout.model.problem import NOWHERE, Problem

    return (Problem(NOWHERE, "other-index", "an index with other rows"),)


def _json(*events: tuple[str, Any]) -> bytes:
    return json.dumps([list(event) for event in events], ensure_ascii=False).encode()


def _case_bytes() -> bytes:
    with TemporaryDirectory() as home:
        events = (("intake", INTAKE), ("reading", {"inspection": "sensor-hose-look", "result": "sound"}))
        return sealed(Path(home) / "case.yaml", *events).read_bytes()


def _sealed_seeds() -> list[bytes]:
    """Return every kind of event with every key that readers look at."""
    hose = {"inspection": "sensor-hose-look", "result": "cracked-or-off"}
    cause = {"cause": "sensor-hose-cracked"}
    advice = {"book": {"digest": "0" * 64}, "causes": [{"id": "sensor-hose-cracked", "confidence": 0.9}]}
    rich = {
        **INTAKE,
        "title": "t",
        "said": ["it smells"],
        "own_figures": [],
        "readings": [hose],
        "costs": {"threshold": 0.9},
    }
    return [
        _json(("intake", rich), ("reading", hose), ("withdrawal", {"event": 2, "reason": "r"})),
        _json(
            ("intake", INTAKE),
            ("note", {"text": "x", "adds": {"codes": [{"code": "P0442", "status": "pending"}]}}),
        ),
        _json(
            ("intake", INTAKE),
            ("advice", {**advice, "verdict": {"kind": "repair", **cause, "reasons": ["x"]}}),
            ("purchase", {**cause, "cost": 6, "part": "hose", "against_verdict": False}),
            (
                "repair",
                {**cause, "action": "replace", "component": "fuel-cap", "voids": ["sensor-hose-look"]},
            ),
            (
                "verification",
                {"repeated": [hose], "codes_cleared": True, "codes_now": ["P0451"], "monitors_run": ["evap"]},
            ),
            ("close", {"outcome": "not-confirmed", **cause, "note": "n"}),
        ),
        _json(
            ("intake", INTAKE),
            (
                "reading",
                {"inspection": "tank-sensor-five-volts", "value": "4.98 V", "conditions": ["altitude 900 m"]},
            ),
        ),
        _json(
            ("intake", INTAKE),
            (
                "reading",
                {"inspection": "tank-sensor-vacuum-series", "series": [["0kPa", "2.5V"], ["-1kPa", "2.2V"]]},
            ),
        ),
    ]


def _word_seeds() -> list[bytes]:
    lines = (
        b"\x00P0442",
        b"\x01orifice-flow\ndiameter=0.020 in\npressure=10 inH2O",
        b"\x02--json",
        b"\x03sensor-hose-look",
        b"\x04sensor-hose-cracked",
        b"\x05tank-sensor-five-volts\n4.98 V\n--under\naltitude 900 m",
        b"\x05purge-valve-holds-vacuum\n-20 inhg",
        b"\x06sensor-hose-cracked\n--cost\n6\n--reason\nx",
        b"\x07--again\nsensor-hose-look=sound",
        b"\x08given-up\n--note\nx",
        b"\x09--head\n0123456789abcdef\n--json",
        b"\x0a--code\nP0451\n--most\n5\n--json",
    )
    return list(lines)


def _book_files() -> dict[str, bytes]:
    """Return the files of a small clean book by their names."""
    with TemporaryDirectory() as home:
        book = write_book(Path(home))
        return {path.name: path.read_bytes() for path in sorted(book.glob("*.yaml"))}


def _layer_seeds() -> list[bytes]:
    own = b"symptoms:\n  - {id: smell, replaces: smell, title: A strong smell}\n"
    return [own, *_book_files().values()]


def _store_seeds() -> list[bytes]:
    from hashlib import sha256

    texts = {sha256(data).hexdigest(): data.decode() for data in _book_files().values()}
    files = [[name, sha256(data).hexdigest()] for name, data in _book_files().items()]
    listing = json.dumps({"layers": [{"name": "book", "files": files}]})
    return [f"{listing}\0{json.dumps(texts)}".encode(), b'{"layers": []}\0{}']


def _index_seeds() -> list[bytes]:
    with TemporaryDirectory() as home:
        shop, own = Path(home) / "shop", Path(home) / "own"
        shop.mkdir()
        sealed(shop / "case.yaml", ("intake", INTAKE))
        CaseIndex(shop, own).refresh()
        return [path.read_bytes() for path in own.glob("*.sqlite")]


_READINGS = (
    "4.98 V",
    "-20 inHg",
    "3/16 in",
    "OL",
    "4.6-4.8 V",
    "1:30",
    "4k7",
    "2,5 V",
    "..5 V",
    "18 inHg vac",
    "5 ± 0.1 V",
)

#: Name to the function that is attacked and the inputs to begin with.
TARGETS: Mapping[str, tuple[Target, Callable[[], list[bytes]]]] = {
    "intake": (intake, lambda: [path.read_bytes() for path in shipped_cases()]),
    "case_file": (case_file, lambda: [_case_bytes()]),
    "sealed_case": (sealed_case, _sealed_seeds),
    "arguments": (arguments, _word_seeds),
    "reading": (reading, lambda: [bytes([n % 5]) + text.encode() for n, text in enumerate(_READINGS * 2)]),
    "layer": (layer, _layer_seeds),
    "store": (store, _store_seeds),
    "index": (index, _index_seeds),
}
