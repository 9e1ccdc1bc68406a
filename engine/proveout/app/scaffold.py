"""Writes a new entry with examples into a shop's own directory, and tries it before leaving it there."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from proveout.app.naming import cause_of, id_of, inspection_of, symptom_of
from proveout.app.places import open_book
from proveout.app.templates import TEMPLATES
from proveout.book.load import load_book
from proveout.book.shipped import schemas_dir
from proveout.intake.answers import meant
from proveout.intake.stray import stray_phrases
from proveout.model.book import Book
from proveout.model.problem import BadInputError, WrongUsageError
from proveout.record.files import create, make_directory, remove
from proveout.trial.examples import try_examples
from proveout.trial.outcome import PASSED, Outcome

#: Ids as in ``common.schema.json``; as part of a file's name it cannot lead elsewhere.
ID = re.compile("[a-z0-9]+(-[a-z0-9]+)*")
_OBSERVED = re.compile(r"(?P<kind>code|symptom|happens):(?P<key>.+)|(?P<inspection>[^=]+)=(?P<result>[^=]+)")


def scaffold(
    kind: str, name: str, directory: Path, below: tuple[Path, ...], answers: Mapping[str, str]
) -> tuple[Path, list[Outcome]]:
    """Write ``DIR/NAME.yaml`` if the book with it is sound and its examples pass.

    Args:
        kind: one of ``TEMPLATES``.
        name: id of the entry.
        directory: of the shop's rules; made where it is missing.
        below: other layers, which lie between the shipped book and the directory.
        answers: what the template of the kind asks for.

    Returns:
        The path written and the outcomes of its examples.

    Raises:
        BadInputError: the entry cannot be used; nothing is left behind.
    """
    if ID.fullmatch(name) is None:
        raise WrongUsageError(f"{name!r} is no id: small letters and digits in groups joined by hyphens.")
    target = directory / f"{name}.yaml"
    made = not directory.exists()
    known = open_book(below if made else (*below, directory))
    text = _text(kind, name, directory, answers, known)
    make_directory(directory)
    create(target, text.encode())
    try:
        book = load_book((*below, directory))
        outcomes = list(try_examples(book, wanted=lambda example: example.startswith(f"{name} ")))
        failed = [item for item in outcomes if item.status != PASSED]
        if failed:
            raise WrongUsageError(f"The rule's own example does not pass: {failed[0].detail}")
        _keep_phrases_apart(book, known)
    except BaseException:
        with suppress(BadInputError):
            remove(target)
        if made:
            with suppress(OSError):
                directory.rmdir()
        raise
    return target, outcomes


def _keep_phrases_apart(book: Book, before: Book) -> None:
    """Refuse what makes a phrase lead to another entry than its own, as ``rules check`` would.

    Raises:
        BadInputError: with each phrase that did not do so before.
    """
    led_astray = {problem.saw for problem in stray_phrases(before)}
    found = [problem for problem in stray_phrases(book) if problem.saw not in led_astray]
    if found:
        raise BadInputError(*found)


def _text(kind: str, name: str, directory: Path, answers: Mapping[str, str], book: Book) -> str:
    """Fill in the template of a kind; whatever names an entry of the book is taken as everywhere."""
    template = TEMPLATES[kind]
    said = {key: json.dumps(value) if key in template.quoted else value for key, value in answers.items()}
    for key, named in (("cause", cause_of), ("inspection", inspection_of)):
        if key in said:
            said[key] = named(said[key], book)
    extra = _facts(answers["observe"], book) if "observe" in template.asks else {}
    body = template.text.format(name=name, **{**said, **extra})
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


def _facts(observe: str, book: Book) -> dict[str, str]:
    """Return the condition, and the smallest intakes in which it holds for an old vehicle, and for any."""
    found = _OBSERVED.fullmatch(observe)
    if found is None:
        raise WrongUsageError(
            f"--observe {observe!r}: expected code:P0442, symptom:ID, happens:ID or INSPECTION=RESULT."
        )
    observed, seen = _observed(found, book)
    fires = {**seen, "vehicle": {"age_years": 11}}
    return {"observed": observed, "fires": json.dumps(fires), "silent": json.dumps(seen)}


def _observed(found: re.Match[str], book: Book) -> tuple[str, dict[str, object]]:
    """Return the condition as text and the smallest intake in which it holds."""
    key = (found["key"] or "").strip()
    if found["kind"] == "code":
        return f"code: {key}", {"codes": [key]}
    if found["kind"] == "symptom":
        key = symptom_of(key, book)
        return f"symptom: {key}", {"symptoms": [key]}
    if found["kind"] == "happens":
        key = id_of("circumstance", key, book.words.circumstances)
        return f"happens: {key}", {"codes": ["P0440"], "happens_when": [key]}
    inspection = inspection_of(found["inspection"].strip(), book)
    result = " ".join(meant(found["result"].split(), book.inspections[inspection]))
    return f"inspection: {inspection}, result: {result}", {"results": {inspection: result}}
