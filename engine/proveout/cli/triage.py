"""``proveout triage``: what it could be, what to do next, and the verdict."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import (
    book_options,
    display_option,
    engine_option,
    json_option,
    open_book,
    say_json,
    width,
)
from proveout.terminal.words_given import FILE_NAME


@click.command()
@click.argument("case", metavar="CASE", type=FILE_NAME, shell_complete=completing.case_files)
@book_options
@engine_option
@click.option("--full", is_flag=True, help="Say everything: all reasons, cautions, results, notes.")
@display_option
@json_option
def command(
    case: str, layers: tuple[Path, ...], engine: str | None, full: bool, display: str, as_json: bool
) -> None:
    """Say what it could be, what to do next, and the verdict, on one screen.

    CASE is a case file, an intake document, or - for an intake document on standard input.

    \b
    proveout triage mycar.yaml
    proveout triage mycar.yaml --full
    """
    from msgspec.structs import replace

    from proveout.app.profile import in_force
    from proveout.app.source import open_case
    from proveout.model.urgency import DrivingOn
    from proveout.plan.advice import advise
    from proveout.plan.prices import priced
    from proveout.record.documents import triage_document
    from proveout.show.next import next_step_text
    from proveout.show.triage import closed_text, triage_text
    from proveout.show.triage_page import triage_page
    from proveout.terminal.paper import show, show_text
    from proveout.terminal.waiting import doing

    book = open_book(layers, case)
    opened = open_case(case, book, sys.stdin.buffer, in_force(layers))
    book = priced(book, opened.case.costs)
    with doing("Working out what to do next"):
        triage = advise(opened.case, book, engine)
    if opened.held:
        triage = replace(triage, driving_on=DrivingOn(settled=True))
    if as_json:
        say_json({**triage_document(triage, book), "closed": opened.ended})
    elif opened.ended is not None:
        show_text(closed_text(opened.ended, triage, book, case, width()))
    elif full:
        lines = [triage_text(triage, book, width(), display)]
        lines += [next_step_text(triage, book, case, width())] if opened.recorded else []
        show_text("\n".join(lines))
    else:
        name = case if opened.recorded else ""
        show(triage_page(triage, book, width(), display, name))
