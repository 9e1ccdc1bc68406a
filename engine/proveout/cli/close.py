"""``proveout close``: end a case."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, open_book, tell


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.argument(
    "outcome",
    metavar="OUTCOME",
    shell_complete=completing.words("confirmed", "not-confirmed", "referred", "nothing-wrong", "given-up"),
)
@click.option(
    "--cause",
    default="",
    metavar="ID",
    shell_complete=completing.of("causes"),
    help="What it was (default: the cause repaired).",
)
@click.option("--note", default="", metavar="TEXT", help="Anything worth keeping.")
@book_options
def command(case: Path, outcome: str, cause: str, note: str, layers: tuple[Path, ...]) -> None:
    """End CASE with an OUTCOME: confirmed, not-confirmed, referred, nothing-wrong or given-up.

    A repair is confirmed only after its verification; see `proveout verify`.

    \b
    proveout close mycar.yaml confirmed
    """
    from proveout.app.filing import append, events_of
    from proveout.app.naming import cause_of, word_of
    from proveout.intake.resolve import titled
    from proveout.record.closing import OUTCOMES, close_body

    book = open_book(layers, case)
    events = events_of(case)
    outcome = word_of("outcome", outcome, titled(OUTCOMES))
    body = close_body(events, book, outcome, cause_of(cause, book) if cause else "", note)
    head = append(case, events, body)
    tell(f"Closed {case} as {outcome} (head {head}). Keep the head on the report: it shows a cut tail.")
