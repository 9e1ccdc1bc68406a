"""Builds an intake document from flags or questions, and opens the case file with it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from proveout.cli.advise import advise
from proveout.cli.keeping import advice_body, now
from proveout.intake import Match, Named, case_of, match, resolve
from proveout.model.advice import Triage
from proveout.model.atom import HAPPENS, SYMPTOM
from proveout.model.book import Book
from proveout.model.case import CODE_STATUSES
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.record import casefile
from proveout.text import compose, validate

_VEHICLE = ("age_years", "mileage_km", "engine", "fuel", "climate")
_LIST_OF = {SYMPTOM: "symptoms", HAPPENS: "happens_when"}


def code_from(text: str) -> str | dict[str, str]:
    """Read ``CODE[:STATUS]``.

    Raises:
        BadInputError: the status is not one of the three.
    """
    code, _, status = text.partition(":")
    if not status:
        return code
    if status not in CODE_STATUSES:
        known = ", ".join(CODE_STATUSES)
        raise BadInputError(
            Problem(NOWHERE, "unknown-status", f"the status {status!r} of {code}", f"one of {known}")
        )
    return {"code": code, "status": status}


def document_from_flags(given: Mapping[str, Any], book: Book) -> dict[str, Any]:
    """Give an intake document from the command's flags, leaving out what was not given."""
    words = book.words
    vocabularies: dict[str, tuple[str, Mapping[str, Named]]] = {
        "symptoms": ("symptoms", words.symptoms),
        "symptoms_absent": ("absent", words.symptoms),
        "happens_when": ("happens_when", words.circumstances),
        "replaced": ("replaced", words.components),
        "recent_work": ("recent_work", words.recent_work),
        "tools": ("tools", words.tools),
    }
    document: dict[str, Any] = {
        "vehicle": {key: given[key] for key in _VEHICLE if given[key] is not None},
        "codes": [code_from(text) for text in given["codes"]],
        "said": list(given["said"]),
        "monitors_run": list(given["monitors_run"]),
    }
    for key, (flag, terms) in vocabularies.items():
        document[key] = [resolve(item, terms) for item in given[flag]]
    return {key: value for key, value in document.items() if value}


def _ask_list(question: str) -> list[str]:
    answer = click.prompt(question, default="", show_default=False, err=True)
    return [part.strip() for part in str(answer).split(",") if part.strip()]


def _ask_number(question: str) -> float | None:
    while True:
        answer = str(click.prompt(question, default="", show_default=False, err=True)).strip()
        if not answer:
            return None
        try:
            return float(answer.replace(",", "."))
        except ValueError:
            click.echo(f"  {answer!r} is not a number; leave it empty if you do not know.", err=True)


def _confirm(found: Match) -> bool:
    return click.confirm(f"  “{found.clause}”: is that “{found.title}”?", default=found.taken, err=True)


def ask(book: Book) -> dict[str, Any]:
    """Ask for an intake at the terminal; every answer may be left empty."""
    click.echo("Leave empty what you do not know.", err=True)
    document: dict[str, Any] = {"codes": [code_from(text) for text in _ask_list("Codes read (P0442, ...)")]}
    said = click.prompt("What do you notice, in your own words", default="", show_default=False, err=True)
    matches, lost = match((str(said),), book)
    document["said"] = list(lost)
    for found in matches:
        if _confirm(found):
            document.setdefault(_LIST_OF.get(found.kind, "recent_work"), []).append(found.id)
    replaced = _ask_list("Parts already replaced without effect")
    document["replaced"] = [resolve(item, book.words.components) for item in replaced]
    work = _ask_list("Work done just before it began")
    document.setdefault("recent_work", []).extend(resolve(item, book.words.recent_work) for item in work)
    document["vehicle"] = {
        key: number
        for key, question in (("age_years", "Age in years"), ("mileage_km", "Mileage in km"))
        if (number := _ask_number(question)) is not None
    }
    tools = _ask_list("Tools at hand (meter, hand vacuum pump, ...)")
    document["tools"] = [resolve(item, book.words.tools) for item in tools]
    return {key: value for key, value in document.items() if value}


def keep(path: Path, body: Mapping[str, Any], book: Book, layers: tuple[Path, ...]) -> tuple[str, Triage]:
    """Open the case file and give its head digest and the first triage; nothing is written if it is unusable.

    Raises:
        BadInputError: the document cannot be used.
    """
    node = compose(json.dumps(body), "the intake")
    problems = validate(node, "intake")
    if problems:
        raise BadInputError(*problems)
    answer = advise(case_of(body, book), book)
    then = (("advice", advice_body(answer, book, layers)),)
    return casefile.create(path, body, now(), then).digest, answer
