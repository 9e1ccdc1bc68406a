"""``proveout watch``: record what was seen after something was put right on trial."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.model.atom import COMES_BACK, STAYS_AWAY
from proveout.terminal import completing
from proveout.terminal.common import tell


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.argument(
    "since", metavar="stays-away|comes-back", shell_complete=completing.words(STAYS_AWAY, COMES_BACK)
)
@click.option("--note", default="", metavar="TEXT", help="Anything worth keeping.")
def command(case: Path, since: str, note: str) -> None:
    """Record in CASE whether the trouble has stayed away since the last `mend`, or has come back.

    \b
    proveout watch mycar.yaml stays-away
    """
    from proveout.app.filing import append, events_of
    from proveout.app.naming import word_of
    from proveout.intake.answers import SHOWED
    from proveout.record.deeds import watch_body

    events = events_of(case)
    since = word_of("what showed", since, SHOWED)
    head = append(case, events, watch_body(events, since, note))
    tell(f"Recorded in {case} (head {head[:16]}). What follows from it: proveout triage {case}")
