"""Writes a new rule with examples into a shop's own directory, and tries it before leaving it there."""

from __future__ import annotations

import json
import re
from contextlib import suppress
from pathlib import Path

from proveout.app.naming import cause_of, id_of, inspection_of, symptom_of
from proveout.app.places import open_book
from proveout.book.load import load_book
from proveout.book.shipped import schemas_dir
from proveout.intake.answers import meant
from proveout.model.book import Book
from proveout.model.problem import WrongUsageError
from proveout.record.files import create, make_directory, remove
from proveout.trial.examples import try_examples
from proveout.trial.outcome import PASSED, Outcome

_TEMPLATE = """# yaml-language-server: $schema={schema}
rules:
  - id: {rule}
    when:
      all:
        - {{{observed}}}
        - {{fact: vehicle.age, at_least: 10 y}}   # put your own context here
    seen_with: {{{cause}: {frequency}}}
    because: Say in a sentence why this is seen more or less often in these circumstances.
    source: common practice, no source
    examples:
      fires:
        - {fires}
      silent:
        - {silent}
"""
#: Ids as in ``common.schema.json``; as part of a file's name it cannot lead elsewhere.
ID = re.compile("[a-z0-9]+(-[a-z0-9]+)*")
_OBSERVED = re.compile(r"(?P<kind>code|symptom|happens):(?P<key>.+)|(?P<inspection>[^=]+)=(?P<result>[^=]+)")


def scaffold(
    rule: str, directory: Path, observe: str, cause: str, frequency: str
) -> tuple[Path, list[Outcome]]:
    """Write ``DIR/ID.yaml`` if the book with it is sound and its examples pass.

    Returns:
        The path written and the outcomes of the rule's examples.

    Raises:
        BadInputError: the rule cannot be used; nothing is left behind.
    """
    if ID.fullmatch(rule) is None:
        raise WrongUsageError(f"{rule!r} is no id: small letters and digits in groups joined by hyphens.")
    target = directory / f"{rule}.yaml"
    made = not directory.exists()
    text = _text(rule, observe, cause, frequency, open_book(() if made else (directory,)))
    make_directory(directory)
    create(target, text.encode())
    try:
        book = load_book((directory,))
        outcomes = [item for item in try_examples(book) if item.name.startswith(f"{rule} ")]
        failed = [item for item in outcomes if item.status != PASSED]
        if failed:
            raise WrongUsageError(f"The rule's own example does not pass: {failed[0].detail}")
    except BaseException:
        remove(target)
        if made:
            with suppress(OSError):
                directory.rmdir()
        raise
    return target, outcomes


def _text(rule: str, observe: str, cause: str, frequency: str, book: Book) -> str:
    found = _OBSERVED.fullmatch(observe)
    if found is None:
        raise WrongUsageError(
            f"--observe {observe!r}: expected code:P0442, symptom:ID, happens:ID or INSPECTION=RESULT."
        )
    observed, seen = _observed(found, book)
    fires = {**seen, "vehicle": {"age_years": 11}}
    return _TEMPLATE.format(
        schema=(schemas_dir() / "book.schema.json").as_posix(),
        rule=rule,
        observed=observed,
        cause=cause_of(cause, book),
        frequency=frequency,
        fires=json.dumps(fires),
        silent=json.dumps(seen),
    )


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
