"""``proveout triage``: what it could be, what to do next, and the verdict."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.cli.common import (
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
    from proveout.cli.advise import advise
    from proveout.cli.source import open_case
    from proveout.show import triage_document, triage_text

    book = open_book(layers)
    triage = advise(open_case(case, book).case, book, engine)
    if as_json:
        say_json(triage_document(triage, book))
    else:
        say(triage_text(triage, book, width(), display))
