"""``proveout repair``: record what was done."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, open_book, say, tell, width
from proveout.terminal.numbers import number


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.argument("cause", metavar="CAUSE", shell_complete=completing.of("causes"))
@click.option("--action", default="", metavar="WORD", help="What was done (default: the remedy's action).")
@click.option("--minutes", type=number(0, 1e9), metavar="N", help="How long it took.")
@click.option("--codes-cleared", is_flag=True, help="The codes were cleared after it.")
@click.option("--note", default="", metavar="TEXT", help="Anything worth keeping.")
@book_options
def command(
    case: Path,
    cause: str,
    action: str,
    minutes: float | None,
    codes_cleared: bool,
    note: str,
    layers: tuple[Path, ...],
) -> None:
    """Record in CASE that CAUSE was mended, and say how to prove that it held.

    \b
    proveout repair mycar.yaml sensor-hose-cracked --minutes 15
    """
    from proveout.app.filing import append, events_of
    from proveout.app.naming import cause_of
    from proveout.record.closing import what_confirms
    from proveout.record.deeds import repair_body
    from proveout.show.deeds import after_repair_text

    book = open_book(layers, case)
    cause = cause_of(cause, book)
    events = events_of(case)
    done: dict[str, Any] = {
        "action": action,
        "minutes": minutes,
        "codes_cleared": codes_cleared,
        "note": note,
    }
    body = repair_body(events, book, cause, **done)
    head = append(case, events, body)
    say(after_repair_text(book.causes[cause], book, width(), what_confirms(events, book)))
    tell(f"\nRecorded in {case} (head {head[:16]}). When that is done: proveout verify {case}")
