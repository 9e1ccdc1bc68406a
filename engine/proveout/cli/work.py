"""``proveout work``: the whole job, step by step."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import at_terminal, book_options, display_option, open_book


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@book_options
@display_option
def command(case: Path, layers: tuple[Path, ...], display: str) -> None:
    """Go through the job of CASE at the terminal, from where it stands to the confirmed repair.

    Each inspection is shown step by step, its cautions first; what it gave is recorded at once. At any point
    say can't, later, undo, why, or stop; the same command goes on from there.

    \b
    proveout work mycar.yaml
    """
    from proveout.terminal.job import Job, left, work

    if not at_terminal():
        raise click.UsageError("It needs a terminal; elsewhere use triage, steps and record.")
    job = Job(case, open_book(layers, case), layers, display)
    try:
        work(job)
    except (click.Abort, KeyboardInterrupt):
        left(job)
        raise click.exceptions.Exit(130) from None
