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
    from proveout.record.closing import close_body

    events = events_of(case)
    head = append(case, events, close_body(events, open_book(layers, case), outcome, cause, note))
    tell(f"Closed {case} as {outcome} (head {head}). Keep the head on the report: it shows a cut tail.")
