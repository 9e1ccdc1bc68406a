"""Opens a case file with an intake document, or adds to one, and gives the advice that follows."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from proveout.cli.advise import advise
from proveout.cli.filing import events_of
from proveout.cli.keeping import keep_advice, now
from proveout.intake import case_of
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.record import casefile, state
from proveout.record.event import Event, seal
from proveout.text import compose, validate


def checked(body: Mapping[str, Any], book: Book) -> Triage:
    """Give the triage of an intake document.

    Raises:
        BadInputError: the document cannot be used.
    """
    problems = validate(compose(json.dumps(body), ""), "intake")
    if problems:
        raise BadInputError(*problems)
    return advise(case_of(body, book), book)


def keep(path: Path, body: Mapping[str, Any], book: Book, layers: tuple[Path, ...]) -> tuple[str, Triage]:
    """Open the case file and give its head digest and the first triage; nothing is written if it is unusable.

    Raises:
        BadInputError: the document cannot be used.
    """
    answer = checked(body, book)
    casefile.create(path, body, now())
    return keep_advice(path, answer, book, layers), answer


def append(
    path: Path, kind: str, body: Mapping[str, Any], book: Book, layers: tuple[Path, ...]
) -> tuple[str, Triage, Triage]:
    """Append an event that changes what is known, with the advice that follows.

    Returns:
        The head digest and the triage before and after.

    Raises:
        BadInputError: what then is known cannot be used; nothing is written.
    """
    events = events_of(path)
    before = checked(state.merged(events), book)
    after = checked(state.merged(_with(events, kind, body)), book)
    return keep_advice(path, after, book, layers, [(kind, body)], events[-1].digest), before, after


def _with(events: Sequence[Event], kind: str, body: Mapping[str, Any]) -> tuple[Event, ...]:
    last = events[-1]
    return (*events, seal(last.n + 1, now(), kind, last.digest, body))
