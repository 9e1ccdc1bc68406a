"""``proveout undo``: take back the last step of a case."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, json_option, open_book, say, say_json, tell, width


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.option("--reason", default="", metavar="TEXT", help="Why; kept with it.")
@book_options
@json_option
def command(case: Path, reason: str, layers: tuple[Path, ...], as_json: bool) -> None:
    """Take back the last reading, note, amendment, mending or watch of CASE; it stays on record, uncounted.

    Again, it takes back the one before. What was bought, repaired or closed is not undone.

    \b
    proveout undo mycar.yaml
    """
    from proveout.app.amending import last_step
    from proveout.app.filing import events_of
    from proveout.app.recording import withdrawn
    from proveout.record.documents import triage_document
    from proveout.show.change import change_text
    from proveout.show.next import next_step_text

    book = open_book(layers, case)
    events = events_of(case)
    number = last_step(events)
    event = next(event for event in events if event.n == number)
    kept = withdrawn(case, number, book, layers, reason)
    entry = book.inspections.get(str(event.body.get("inspection")))
    of = f" of “{entry.title}”" if entry else ""
    tell(f"Taken back: event {number}, {event.kind}{of}.")
    if as_json:
        say_json(triage_document(kept.after, book))
    else:
        say(change_text(kept.before, kept.after, book, width()))
        say(next_step_text(kept.after, book, str(case), width()))
    tell(f"\nKept in {case} (head {kept.head[:16]}).")
