"""Walks a shipped case as its owner would: ask what to inspect, look up what the owner found, and go on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from proveout.app.trials import case_files
from proveout.book.shipped import cases_dir
from proveout.intake.document import case_of
from proveout.model.advice import INSPECT, Triage
from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.plan.advice import advise
from proveout.text.compose import compose
from proveout.text.near import did_you_mean
from proveout.text.node import plain
from proveout.text.read import read_text

#: No case of the book needs more inspections than this, repeats included.
_MOST_STEPS = 80


class Step(Struct, frozen=True):
    """One step of a walk: the triage, and the reading then taken (None at the end)."""

    answer: Triage
    reading: Mapping[str, Any] | None


def find_case(name: str) -> Mapping[str, Any]:
    """Return the shipped case of that name as plain data.

    Raises:
        BadInputError: there is none.
    """
    paths = {path.stem: path for path in case_files([cases_dir()])}
    if name not in paths:
        mend = did_you_mean(name, paths)
        raise BadInputError(Problem(NOWHERE, "unknown-case", f"the case {name!r}", "a shipped case", mend))
    document: Mapping[str, Any] = plain(compose(read_text(paths[name]), str(paths[name])))
    return document


def _found(document: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Return what the owner will find, by inspection; the last reading of each counts."""
    short = ({"inspection": key, "result": value} for key, value in document.get("results", {}).items())
    return {item["inspection"]: dict(item) for item in (*document.get("readings", ()), *short)}


def walk(document: Mapping[str, Any], book: Book, engine: str | None = None) -> Iterator[Step]:
    """Return the triage at each step, from the complaint alone to the verdict.

    An inspection of which the case says nothing comes out in its first normal result.
    """
    owner = _found(document)
    known = {key: value for key, value in document.items() if key not in ("readings", "results", "expect")}
    known["readings"] = []
    for _ in range(_MOST_STEPS):
        answer = advise(case_of(known, book), book, engine)
        if answer.next is None or answer.verdict.kind != INSPECT:
            yield Step(answer, None)
            return
        proposed = answer.next.inspection
        reading = owner.get(proposed) or {"inspection": proposed, "result": _sound(proposed, book)}
        known["readings"] = [*known["readings"], reading]
        yield Step(answer, reading)


def _sound(inspection: str, book: Book) -> str:
    return next(result.id for result in book.inspections[inspection].results if result.normal)
