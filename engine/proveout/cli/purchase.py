"""``proveout purchase``: record that a part was bought."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, open_book, say, tell, width
from proveout.terminal.numbers import number


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.argument("cause", metavar="CAUSE", shell_complete=completing.of("causes"))
@click.option("--cost", type=number(0, 1e9), required=True, metavar="AMOUNT", help="What it cost.")
@click.option("--part", default="", metavar="TEXT", help="What was bought (default: the remedy's part).")
@click.option("--reason", default="", metavar="TEXT", help="Why; needed where the last verdict was another.")
@click.option(
    "--remind", is_flag=True, help="Only show who else may pay and what to look up; record nothing."
)
@book_options
def command(
    case: Path, cause: str, cost: float, part: str, reason: str, remind: bool, layers: tuple[Path, ...]
) -> None:
    """Record that a part was bought in CASE to mend CAUSE.

    First it reminds of warranty terms that may pay, and of recalls and service bulletins to look up.

    \b
    proveout purchase mycar.yaml sensor-hose-cracked --cost 6.50
    """
    from proveout.app.filing import append, events_of, reminders_for
    from proveout.app.naming import cause_of
    from proveout.record.deeds import purchase_body
    from proveout.record.state import merged
    from proveout.show.deeds import reminders_text
    from proveout.show.figures import money

    book = open_book(layers, case)
    cause = cause_of(cause, book)
    events = events_of(case)
    currency = str(merged(events).get("costs", {}).get("currency", ""))
    body = purchase_body(events, book, cause, cost, part, reason)
    say(reminders_text(reminders_for(events, book, cause), book.causes[cause].title, width()))
    if remind:
        return
    head = append(case, events, body)
    against = " against the last verdict" if body.against_verdict else ""
    tell(f"\nRecorded{against}: {body.part} for {money(cost, currency)}, in {case} (head {head[:16]}).")
