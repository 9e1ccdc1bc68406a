"""What the fuzz harness attacks: everything that comes in, as functions of bytes that keep promises.

A target takes bytes, gives them to the program where a stranger could, and returns whether they were
refused. It fails with an exception where a promise is broken: an exception that is no located complaint, an
exit code that is not documented, JSON that is none, hidden characters in what is printed. Chains are sealed
anew after they were mutated, as whoever keeps a file can do.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import helpers_target_commands as whole
import helpers_target_texts as texts
from helpers_attack import INTAKE, sealed
from helpers_book import write_book
from helpers_shipped import shipped_book, shipped_cases
from helpers_target_commands import BrokenPromiseError, refused
from proveout.chain.closing import close
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.measure.own import read_limits
from proveout.measure.reading import read
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.record import casefile, snapshot, state
from proveout.record.index import CaseIndex
from proveout.record.summary import summarise
from proveout.text.compose import compose
from proveout.text.node import find, plain
from proveout.text.schema import validate


def intake(data: bytes) -> bool:
    """An intake document: text to facts to findings."""

    def action() -> None:
        node = compose(data.decode("utf-8", "replace"), "case.yaml")
        problems = validate(node, "intake")
        if problems:
            raise BadInputError(*problems)
        case = case_of(plain(node), shipped_book(), lambda path: find(node, path).place)
        close(shipped_book(), sheet_of(case, shipped_book()).atoms, "reference")

    return refused(action)


def case_file(data: bytes) -> bool:
    """The bytes of a case file: checked, folded and summed up in the same way."""
    with TemporaryDirectory() as home:
        path = Path(home) / "case.yaml"
        path.write_bytes(data)
        full = refused(lambda: state.merged(casefile.read(path)))
        light = refused(lambda: summarise(data, "case.yaml"))
        if not full and light:
            raise BrokenPromiseError("a case that is whole is left out of lists")
        return full


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
    is_none = refused(lambda: read(text, quantity, unit, relative))
    refused(lambda: read_limits(text, quantity, unit, relative))
    return is_none


def layer(data: bytes) -> bool:
    """A rule file of a shop."""
    from proveout.book.load import load_book

    with TemporaryDirectory() as home:
        base, shop = write_book(Path(home) / "base"), Path(home) / "shop"
        shop.mkdir()
        (shop / "x.yaml").write_bytes(data)
        return refused(lambda: load_book((shop,), base=base))


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
        return refused(lambda: snapshot.book_of(snapshot.load(Path(home), digest)))


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

        def action() -> None:
            cases.refresh()
            if cases.find() != whole:
                raise BadInputError(
                    Problem(NOWHERE, "other-index", "an index with other rows")
                )  # the user's own word

        return refused(action)


def _case_bytes() -> bytes:
    with TemporaryDirectory() as home:
        events = (("intake", INTAKE), ("reading", {"inspection": "sensor-hose-look", "result": "sound"}))
        return sealed(Path(home) / "case.yaml", *events).read_bytes()


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


class Target(NamedTuple):
    """What is attacked.

    Attributes:
        attack: takes bytes; says whether they were refused.
        seeds: gives the inputs to begin with.
        share: of a long run's inputs, against the other targets: the dearer a call, the fewer.
        is_json: whether values in the documents are changed rather than bytes.
    """

    attack: Callable[[bytes], bool]
    seeds: Callable[[], list[bytes]]
    share: int = 16
    is_json: bool = False


TARGETS: Mapping[str, Target] = {
    "intake": Target(intake, lambda: [path.read_bytes() for path in shipped_cases()], 6),
    "advice": Target(texts.advice, texts.intake_seeds, 8, is_json=True),
    "batch_line": Target(texts.batch_line, texts.intake_seeds, 8),
    "case_file": Target(case_file, lambda: [_case_bytes()], 40),
    "sealed_case": Target(whole.sealed_case, whole.sealed_seeds, 3, is_json=True),
    "arguments": Target(whole.arguments, whole.word_seeds, 3),
    "reading": Target(
        reading, lambda: [bytes([n % 5]) + text.encode() for n, text in enumerate(_READINGS * 2)], 30
    ),
    "formula": Target(texts.formula, texts.formula_seeds),
    "said": Target(texts.said, texts.said_seeds, 3),
    "table": Target(texts.table, lambda: list(texts.TABLES)),
    "frame": Target(texts.frame, lambda: list(texts.FRAMES)),
    "layer": Target(layer, _layer_seeds, 12),
    "store": Target(store, _store_seeds, 20),
    "index": Target(index, _index_seeds, 8),
    "shelf": Target(texts.shelf, lambda: [b"SQLite format 3\0", b"{}"], 8),
    "resumed": Target(texts.resumed, texts.resumed_seeds),
}
