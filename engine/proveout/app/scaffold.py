"""Writes a new entry with examples into a shop's own directory, and tries it before leaving it there."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

from proveout.app.entry_answers import OBSERVED, settled
from proveout.app.places import open_book
from proveout.app.templates import TEMPLATES
from proveout.book.load import load_book
from proveout.book.shipped import schemas_dir
from proveout.intake.stray import stray_phrases
from proveout.model.atom import RESULT, Observable
from proveout.model.book import Book
from proveout.model.problem import BadInputError, WrongUsageError
from proveout.record.files import create, make_directory, remove
from proveout.trial.examples import try_examples
from proveout.trial.outcome import PASSED, Outcome

#: Ids as in ``common.schema.json``; as part of a file's name it cannot lead elsewhere.
ID = re.compile("[a-z0-9]+(-[a-z0-9]+)*")
#: How often something is seen without the causes named, where neither the book nor the author says so: a code
#: is why the vehicle came, and rare (from memory, as in DEVELOPERS.md).
BACKGROUND = {"code": "0.0005"}
BACKGROUND_ELSE = "0.01"


class Scaffolded(Struct, frozen=True):
    """A new entry.

    Attributes:
        path: of its file.
        outcomes: of its examples.
        taken: the `otherwise` that was taken since neither the book nor the author says one, and of what.
    """

    path: Path
    outcomes: tuple[Outcome, ...] = ()
    taken: str = ""


def known_book(directory: Path, below: tuple[Path, ...]) -> Book:
    """Return the book that a new entry in a directory comes into."""
    return open_book((*below, directory) if directory.exists() else below)


def target_of(name: str, directory: Path) -> Path:
    """Return the file of a new entry.

    Raises:
        WrongUsageError: the name is no id, or there is such a file.
    """
    if ID.fullmatch(name) is None:
        raise WrongUsageError(f"{name!r} is no id: small letters and digits in groups joined by hyphens.")
    target = directory / f"{name}.yaml"
    if target.exists():
        raise WrongUsageError(f"{target} is there already; take another id, or edit that file.")
    return target


def scaffold(
    kind: str, name: str, directory: Path, below: tuple[Path, ...], answers: Mapping[str, str]
) -> Scaffolded:
    """Write ``DIR/NAME.yaml`` if the book with it is sound and its examples pass.

    Args:
        kind: one of ``TEMPLATES``.
        name: id of the entry.
        directory: of the shop's rules; made where it is missing.
        below: other layers, which lie between the shipped book and the directory.
        answers: what the template of the kind asks for, and what else it may be told.

    Raises:
        BadInputError, WrongUsageError: the entry cannot be used; nothing is left behind.
    """
    target = target_of(name, directory)
    made = not directory.exists()
    known = known_book(directory, below)
    said: dict[str, str] = {}
    for key, answer in answers.items():
        said[key] = settled(key, answer, known, said)
    taken = _background(said, known) if "otherwise" in TEMPLATES[kind].may_say else ""
    text = _text(kind, name, directory, said, taken)
    make_directory(directory)
    create(target, text.encode())
    try:
        return Scaffolded(target, _tried(name, (*below, directory), known), taken)
    except BaseException:
        with suppress(BadInputError):
            remove(target)
        if made:
            with suppress(OSError):
                directory.rmdir()
        raise


def _tried(name: str, layers: tuple[Path, ...], before: Book) -> tuple[Outcome, ...]:
    """Check the book with a new entry and try its examples."""
    book = load_book(layers)
    outcomes = tuple(try_examples(book, wanted=lambda example: example.startswith(f"{name} ")))
    failed = [item for item in outcomes if item.status != PASSED]
    if failed:
        raise WrongUsageError(f"The rule's own example does not pass: {failed[0].detail}")
    _keep_phrases_apart(book, before)
    return outcomes


def _keep_phrases_apart(book: Book, before: Book) -> None:
    """Refuse what makes a phrase lead to another entry than its own, as ``rules check`` would.

    Raises:
        BadInputError: with each phrase that did not do so before.
    """
    led_astray = {problem.saw for problem in stray_phrases(before)}
    found = [problem for problem in stray_phrases(book) if problem.saw not in led_astray]
    if found:
        raise BadInputError(*found)


def _background(said: Mapping[str, str], book: Book) -> str:
    """Return the `otherwise` that a new rule needs and nobody says, with what it is of; else ""."""
    found = OBSERVED.fullmatch(said["observe"])
    if "otherwise" in said or found is None:
        return ""
    kind, key = (found["kind"], found["key"]) if found["kind"] else (RESULT, found["inspection"])
    for rule in (book.rules[name] for name in book.weighing.get(Observable(kind, key), ())):
        same = rule.observes is not None and found["result"] in (None, rule.observes.value)
        if same and rule.otherwise is not None and not rule.context:
            return ""
    return f"{BACKGROUND.get(kind, BACKGROUND_ELSE)} for {said['observe']}"


def _text(kind: str, name: str, directory: Path, said: Mapping[str, str], taken: str) -> str:
    """Fill in the template of a kind."""
    template = TEMPLATES[kind]
    holes = {key: json.dumps(value) if key in template.quoted else value for key, value in said.items()}
    background = said.get("otherwise", taken.partition(" ")[0])
    holes["background"] = f"\n    otherwise: {background}" if background else ""
    holes["background"] += "   # taken for granted: put your own figure here" if taken else ""
    if "observe" in said:
        holes |= _facts(said["observe"])
    body = template.text.format(name=name, **holes)
    return f"# yaml-language-server: $schema={schema_for(directory)}\n\n{body}"


def schema_for(directory: Path) -> str:
    """Return what names the schema of rule files from within a directory: relative, fit for version control.

    A schema of the directory's own, as ``rules schema`` writes it, goes before the one that comes along.
    """
    if (directory / "ids.json").is_file():
        return "ids.json"
    home = schemas_dir() / "book.schema.json"
    try:
        return Path(os.path.relpath(home, directory)).as_posix()
    except ValueError:  # on another drive
        return home.as_posix()


def _facts(observe: str) -> dict[str, str]:
    """Return the condition, and the smallest intakes in which it holds for an old vehicle, and for any."""
    observed, seen = _observed(observe)
    fires = {**seen, "vehicle": {"age_years": 11}}
    return {"observed": observed, "fires": json.dumps(fires), "silent": json.dumps(seen)}


def _observed(observe: str) -> tuple[str, dict[str, object]]:
    """Return the condition as text and the smallest intake in which it holds."""
    kind, _, key = observe.partition(":")
    if kind == "code":
        return f"code: {key}", {"codes": [key]}
    if kind == "symptom":
        return f"symptom: {key}", {"symptoms": [key]}
    if kind == "happens":
        return f"happens: {key}", {"codes": ["P0440"], "happens_when": [key]}
    inspection, _, result = observe.partition("=")
    return f"inspection: {inspection}, result: {result}", {"results": {inspection: result}}
