"""``proveout triage``: what it could be, what to do next, and the verdict."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proveout.terminal.common import (
    book_options,
    display_option,
    engine_option,
    json_option,
    open_book,
    say,
    say_json,
    width,
)


@click.command()
@click.argument("case", metavar="CASE")
@book_options
@engine_option
@display_option
@json_option
def command(case: str, layers: tuple[Path, ...], engine: str | None, display: str, as_json: bool) -> None:
    """Say what it could be, what to do next, and the verdict.

    CASE is a case file, an intake document, or - for an intake document on standard input.
    """
    from proveout.app.source import open_case
    from proveout.plan.advice import advise
    from proveout.record.documents import triage_document
    from proveout.show.next import next_step_text
    from proveout.show.triage import closed_text, triage_text

    book = open_book(layers)
    opened = open_case(case, book, sys.stdin.buffer)
    triage = advise(opened.case, book, engine)
    if as_json:
        say_json({**triage_document(triage, book), "closed": opened.ended})
    elif opened.ended is not None:
        say(closed_text(opened.ended, triage, book, case, width()))
    else:
        say(triage_text(triage, book, width(), display))
        if opened.case.costs.currency:
            say(f"\nPrices are in {opened.case.costs.currency}.")
        if opened.recorded and opened.ended is None:
            say(next_step_text(triage, book, case, width()))
