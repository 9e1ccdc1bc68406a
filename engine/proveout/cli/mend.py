"""``proveout mend``: record that what is plainly broken was put right, proven or not."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, open_book, say, tell, width
from proveout.terminal.numbers import number


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.argument("cause", metavar="CAUSE", shell_complete=completing.of("causes"))
@click.option("--minutes", type=number(0, 1e6), metavar="N", help="How long it took.")
@click.option("--cost", type=number(0, 1e6), metavar="AMOUNT", help="What was bought for it.")
@click.option("--note", default="", metavar="TEXT", help="Anything worth keeping.")
@book_options
def command(
    case: Path,
    cause: str,
    minutes: float | None,
    cost: float | None,
    note: str,
    layers: tuple[Path, ...],
) -> None:
    """Record in CASE that CAUSE, a defect that was seen, was put right, and say how to watch.

    Its inspections go on counting: whether the trouble then stays away is weighed with them.

    \b
    proveout mend mycar.yaml vapour-hose-cracked --minutes 20
    """
    from proveout.app.filing import append, events_of
    from proveout.app.naming import cause_of
    from proveout.record.deeds import mending_body
    from proveout.show.deeds import watching_text

    book = open_book(layers, case)
    cause = cause_of(cause, book)
    events = events_of(case)
    body = mending_body(events, book, cause, minutes=minutes, cost=cost, note=note)
    head = append(case, events, body)
    say(watching_text(book.causes[cause], str(case), width()))
    tell(f"\nRecorded in {case} (head {head[:16]}).")
