"""``proveout intake``: open a case."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import click

from proveout.model.book import Book
from proveout.terminal.common import (
    at_terminal,
    book_options,
    json_option,
    open_book,
    say_json,
    tell,
    width,
)
from proveout.terminal.facts import fact_options
from proveout.terminal.words_given import FILE_NAME


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path))
@click.option(
    "--from",
    "document",
    metavar="FILE",
    type=FILE_NAME,
    help="Take the intake from this YAML document (- for stdin).",
)
@fact_options
@book_options
@json_option
def command(case: Path, document: str | None, layers: tuple[Path, ...], as_json: bool, **given: Any) -> None:
    """Open the case file CASE from options, from a YAML document, or by questions at a terminal.

    A NAME is an id, a title or a word for it, or how one begins. What is left out now can be added
    later: proveout amend CASE.

    \b
    proveout intake mycar.yaml --code P0442 --age 14 --replaced "gas cap" --tool "vacuum pump"
    proveout intake mycar.yaml --table reader.csv --column code=DTC
    proveout intake mycar.yaml --from intake.yaml
    """
    from proveout.app.opening import keep
    from proveout.app.recording import appended
    from proveout.record.bodies import Amendment
    from proveout.record.documents import triage_document
    from proveout.show.triage_page import triage_page
    from proveout.terminal.asking_kinds import answered as kind_answered
    from proveout.terminal.asking_kinds import plainly
    from proveout.terminal.drafts import asked
    from proveout.terminal.paper import show

    book = open_book(layers)
    if case.exists():
        raise click.UsageError(f"{case} is already there; add to it with: proveout amend {case}")
    body = _given(document, given, book)
    if body is None and not at_terminal():
        raise click.UsageError(
            "Nothing was given: name at least a --code, a --symptom or --said, or use --from."
        )
    with asked(case, book) if body is None else nullcontext(body) as answered:
        head, answer = keep(case, answered, book, layers)
    if body is None and answer.ask is not None and (adds := kind_answered(answer.ask, plainly)):
        kept = appended(case, Amendment(adds=adds), book, layers)
        head, answer = kept.head, kept.after
    if as_json:
        say_json(triage_document(answer, book))
    else:
        show(triage_page(answer, book, width(), case=str(case)))
    tell(f"\nKept in {case} (head {head[:16]}).")


def _given(document: str | None, given: Mapping[str, Any], book: Book) -> Mapping[str, Any] | None:
    """Return the intake that a document or the options hold; None where neither was given."""
    from proveout.app.facts import document_from
    from proveout.app.source import read_intake

    flags, left_out = document_from(given, book)
    if left_out:
        tell("Left out of the table, as no rule uses it: " + "; ".join(left_out[:20]))
    if document is not None and flags:
        raise click.UsageError("Give either --from or options, not both.")
    if document is not None:
        return dict(read_intake(document, book, sys.stdin.buffer)[0])
    return flags or None
