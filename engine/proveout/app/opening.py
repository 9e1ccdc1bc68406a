"""Opens a case file with an intake document and gives the advice that follows."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from proveout.app.keeping import advice_body, now
from proveout.app.profile import applied, in_force, who
from proveout.intake.document import case_of
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.plan.advice import advise
from proveout.record import casefile
from proveout.text.compose import compose
from proveout.text.schema import validate


def checked(body: Mapping[str, Any], book: Book) -> Triage:
    """Return the triage of an intake document.

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
    body = applied(body, in_force(layers), book)
    answer = checked(body, book)
    then = (("advice", advice_body(answer, book, layers)),)
    return casefile.create(path, body, now(), then, who()).digest, answer
