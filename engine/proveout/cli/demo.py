"""``proveout demo``: walk one invented case from intake to verdict, with real computation at each step."""

from __future__ import annotations

import click

from proveout.terminal.common import engine_option, open_book, say, say_json, width

#: The case that is walked when none is named.
DEFAULT = "new-sensor-shorted-signal-wire"


@click.command()
@click.argument("name", metavar="[NAME]", default=DEFAULT)
@engine_option
@click.option("--json", "as_json", is_flag=True, help="Print every intermediate triage as one JSON document.")
def command(name: str, engine: str | None, as_json: bool) -> None:
    """Walk the shipped case NAME from intake to verdict.

    Only the complaint is known at first; at each step the program proposes an inspection, and the invented
    owner's finding is taken from the case.

    \b
    proveout demo
    """
    from proveout.app.walking import find_case, walk
    from proveout.record.documents import triage_document
    from proveout.show.walk import opening_text, step_text

    book = open_book(())
    document = find_case(name)
    steps = walk(document, book, engine)
    if as_json:
        triages = [triage_document(step.answer, book) for step in steps]
        say_json({"schema": "proveout/demo/1", "case": name, "steps": triages})
        return
    say(opening_text(document, book, width()))
    for step in steps:
        say(step_text(step, book, width()))
