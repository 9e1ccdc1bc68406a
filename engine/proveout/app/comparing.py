"""Opens two books and a sample of cases, and tells which answers differ."""

from __future__ import annotations

import re
import subprocess
import tarfile
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from contextlib import closing
from io import BytesIO
from pathlib import Path
from typing import Any

from proveout.app.places import cache_dir, data_dir
from proveout.app.working import Watch, unseen
from proveout.book.load import load_book
from proveout.book.shipped import cases_dir
from proveout.model.book import Book
from proveout.model.problem import BadInputError, Place, Problem
from proveout.record import casefile, snapshot, state
from proveout.record.scratch import scratch
from proveout.text.compose import compose
from proveout.text.node import plain
from proveout.text.read import read_text
from proveout.text.schema import validate
from proveout.trial.compare import (
    Change,
    Compared,
    answer,
    change,
    differing_entries,
    differing_rules,
    fact_change,
    said_alone,
)
from proveout.trial.simulate import Shop, drawing
from proveout.trial.single_facts import SingleFact, single_facts

#: The word for the book that comes with the program.
SHIPPED = "shipped"
#: Most inspections that a drawn case has behind it.
STEPS = 6

_DIGEST = re.compile(r"[0-9a-f]{8,64}\Z")


def book_at(text: str, whole: bool, tell: Callable[[str], None] | None = None) -> Book:
    """Return the book that a text names.

    Args:
        text: ``shipped``; a directory; ``REVISION:DIRECTORY`` of a git repository; or the digest of a kept
            book, or its first eight figures or more.
        whole: a directory holds a whole book, and is not laid over the shipped one.
        tell: takes messages.

    Raises:
        BadInputError: there is no such book, or it cannot be used.
    """
    if text == SHIPPED:
        return load_book((), cache=cache_dir() / "books", tell=tell)
    if Path(text).is_dir():
        return _from_directory(Path(text), whole, tell)
    revision, mark, directory = text.partition(":")
    if mark and directory:
        with scratch() as home:
            return _from_directory(_checked_out(revision, directory, home), whole, None)
    if _DIGEST.match(text):
        return snapshot.book_of(snapshot.load(data_dir() / "books", _full(text)))
    expected = "'shipped', a directory, REVISION:DIRECTORY, or the digest of a kept book"
    raise BadInputError(Problem(Place(text), "no-such-book", "no such directory", expected, "check the name"))


def _from_directory(home: Path, whole: bool, tell: Callable[[str], None] | None) -> Book:
    if whole:
        return load_book((), base=home, cache=cache_dir() / "books", tell=tell)
    return load_book((home,), cache=cache_dir() / "books", tell=tell)


def _checked_out(revision: str, directory: str, home: Path) -> Path:
    """Return a directory as it stood in a revision of the git repository here."""
    command = ["git", "archive", "--format=tar", "--end-of-options", f"{revision}:./{directory}"]
    try:
        done = subprocess.run(command, capture_output=True, check=False, timeout=120)
    except OSError as error:
        raise BadInputError(
            Problem(Place(revision), "no-git", f"git cannot be run: {error.strerror}")
        ) from None
    if done.returncode != 0:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        saw = said[-1] if said else "git found no such revision"
        mend = "name a revision and a directory as git knows them"
        raise BadInputError(Problem(Place(f"{revision}:{directory}"), "no-such-revision", saw, "", mend))
    with tarfile.open(fileobj=BytesIO(done.stdout)) as archive:
        archive.extractall(home, filter="data")
    return home


def _full(begins: str) -> str:
    """Return the digest of the one kept book that begins so."""
    kept = [path.name for path in (data_dir() / "books" / "books").glob(f"{begins}*") if len(path.name) == 64]
    if len(kept) == 1:
        return kept[0]
    saw = f"{len(kept)} kept books whose digests begin so"
    raise BadInputError(Problem(Place(begins), "no-such-book", saw, "one", "give more of the digest"))


def sample(book: Book, directories: Sequence[Path], draw: int, seed: int) -> dict[str, Mapping[str, Any]]:
    """Return the cases to try by name: the shipped ones, those of directories, and drawn ones.

    Args:
        book: that cases are drawn from.
        directories: of intake documents and case files.
        draw: how many to draw.
        seed: of the draws.

    Raises:
        BadInputError: a case cannot be read.
        DamagedRecordError: a case file's digests do not hold.
    """
    found: dict[str, Mapping[str, Any]] = {}
    for home in (cases_dir(), *directories):
        for path in sorted(home.rglob("*.yaml")):
            name = path.stem if home == cases_dir() else str(path)
            found[name] = _document(path)
    shop = Shop(book, drawing(book, seed=seed)) if draw else None
    for number in range(draw):
        found[f"drawn {seed}:{number}"] = shop.intake(number, STEPS) if shop else {}
    return found


def _document(path: Path) -> Mapping[str, Any]:
    """Return the intake document of a file, whatever book it fits."""
    if casefile.is_case(path):
        return state.merged(casefile.read(path))
    node = compose(read_text(path), str(path))
    problems = validate(node, "intake")
    if problems:
        raise BadInputError(*problems)
    found: Mapping[str, Any] = plain(node)
    return found


def compare(
    old: Book,
    new: Book,
    cases: Mapping[str, Mapping[str, Any]],
    *,
    least: float,
    watch: Watch = unseen,
) -> Compared:
    """Try both books on the same cases and on the single facts that may differ; the gravest changes first.

    Args:
        old: the book before.
        new: the book after.
        cases: intake documents by name.
        least: least move of a confidence that counts.
        watch: sees the answers pass.
    """
    differing = differing_rules(old, new)
    facts = facts_between(old, new)

    def changes() -> Generator[Change | None, None, None]:
        for name, document in cases.items():
            yield change(name, answer(document, old), answer(document, new), differing, least)
        for fact in facts:
            before, after = said_alone(fact.document, old), said_alone(fact.document, new)
            yield fact_change(fact.name, before, after, differing)

    with closing(watch(changes(), len(cases) + len(facts), 0)) as passed:
        found = [one for one in passed if one is not None]
    found.sort(key=lambda one: one.case)
    found.sort(key=lambda one: one.size, reverse=True)
    return Compared(len(cases), len(facts), len(differing), tuple(found))


def facts_between(old: Book, new: Book) -> list[SingleFact]:
    """Return the single facts of both books that may say otherwise in one than in the other."""
    differing = differing_entries(old, new).keys()
    if not differing:
        return []
    found = {fact.name: fact for book in (new, old) for fact in single_facts(book) if fact.about & differing}
    return list(found.values())


def unexpected(found: Compared, expected: Mapping[str, Sequence[str]]) -> Iterator[Change]:
    """Return the changes that are not listed as expected: case name, or ``*``, to kinds of change."""
    for one in found.changes:
        allowed = {*expected.get(one.case, ()), *expected.get("*", ())}
        if not set(one.kinds) <= allowed:
            yield one


def wanted_changes(path: Path) -> Mapping[str, Sequence[str]]:
    """Return the changes that a file lists as expected: case name, or ``*``, to kinds of change.

    Raises:
        BadInputError: it cannot be read, or is no such list.
    """
    node = compose(read_text(path), str(path))
    problems = validate(node, "expected-changes")
    if problems:
        raise BadInputError(*problems)
    found: Mapping[str, Sequence[str]] = plain(node)
    return found
