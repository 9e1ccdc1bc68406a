"""``proveout reopen``: open a closed case again."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import tell


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path))
@click.option("--reason", required=True, metavar="TEXT", help="Why; it stays in the record.")
def command(case: Path, reason: str) -> None:
    """Open CASE again after it was closed, as when the fault has come back.

    \b
    proveout reopen mycar.yaml --reason "the lamp came on again"
    """
    from proveout.app.filing import append, events_of
    from proveout.record.closing import reopening_body

    events = events_of(case)
    head = append(case, events, reopening_body(events, reason))
    tell(f"Opened {case} again (head {head[:16]}). Go on with: proveout triage {case}")
