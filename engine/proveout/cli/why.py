"""``proveout why``: why a cause stands where it does."""

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
    say,
    say_json,
    width,
)
from proveout.terminal.words_given import FILE_NAME


@click.command()
@click.argument("case", metavar="CASE", type=FILE_NAME, shell_complete=completing.case_files)
@click.argument("cause", metavar="[CAUSE]", required=False, shell_complete=completing.of("causes"))
@book_options
@engine_option
@display_option
@json_option
def command(
    case: str,
    cause: str | None,
    layers: tuple[Path, ...],
    engine: str | None,
    display: str,
    as_json: bool,
) -> None:
    """Show why CAUSE (an id or a title; or the leading cause) stands where it does in CASE.

    The ledger, the chain of rules with file and line, what was considered and cleared, and what would change
    the answer.

    \b
    proveout why mycar.yaml
    """
    from proveout.app.naming import cause_of
    from proveout.app.profile import in_force
    from proveout.app.source import open_case
    from proveout.plan.advice import advise
    from proveout.show.deeds import ending_text
    from proveout.show.documents import why_document
    from proveout.show.why import why_text

    book = open_book(layers, case)
    opened = open_case(case, book, sys.stdin.buffer, in_force(layers))
    triage = advise(opened.case, book, engine)
    in_play = [hypothesis.cause for hypothesis in triage.hypotheses]
    asked = cause_of(cause, book) if cause else ""
    wanted = asked or triage.verdict.cause or (in_play[0] if in_play else "")
    if wanted and wanted not in in_play:
        say(f"{book.causes[wanted].title}: no abnormal observation of this case can stem from it.")
        return
    if as_json:
        say_json(why_document(triage, book, wanted))
        return
    if opened.ended is not None:
        say(ending_text(opened.ended, book) + " What follows is how it stood.\n")
    if wanted:
        say(why_text(triage, book, wanted, width(), display))
    else:
        say("No cause is in play: " + " ".join(triage.verdict.reasons))
