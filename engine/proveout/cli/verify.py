"""``proveout verify``: record what showed, after a repair, whether it held."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import DONE, FINDINGS, book_options, open_book, say, tell, width
from proveout.terminal.numbers import DISTANCE


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.option(
    "--again",
    "repeated",
    multiple=True,
    metavar="INSPECTION=READING",
    help="An inspection done again, with its result word or value.",
)
@click.option("--codes-cleared", is_flag=True, help="The codes were cleared after the repair.")
@click.option("--code", "codes_now", multiple=True, metavar="CODE[:STATUS]", help="A code read since.")
@click.option("--no-code", "codes_read", is_flag=True, help="The codes were read: none is stored.")
@click.option(
    "--driven", type=DISTANCE, metavar="DISTANCE", help="How far it was driven since: 40 km, 25 mi."
)
@click.option(
    "--counter", "counters", multiple=True, metavar="NAME=COUNT", help="A counter read: misfire-3=0."
)
@click.option("--gone", multiple=True, metavar="SYMPTOM", help="A symptom that was looked for and is gone.")
@click.option(
    "--monitor-run",
    "monitors_run",
    multiple=True,
    metavar="NAME",
    help="A readiness monitor that has completed since.",
)
@click.option("--note", default="", metavar="TEXT", help="Anything worth keeping.")
@book_options
def command(
    case: Path,
    repeated: tuple[str, ...],
    codes_cleared: bool,
    codes_now: tuple[str, ...],
    codes_read: bool,
    driven: float | None,
    counters: tuple[str, ...],
    gone: tuple[str, ...],
    monitors_run: tuple[str, ...],
    note: str,
    layers: tuple[Path, ...],
) -> int:
    """Record in CASE what showed after the repair, and say whether the repair is confirmed.

    \b
    proveout verify mycar.yaml --again sensor-hose-look=sound --codes-cleared --monitor-run evap --no-code
    proveout verify mycar.yaml --codes-cleared --driven "40 km" --counter misfire=0
    """
    from proveout.app.facts import code_from
    from proveout.app.filing import append, events_of
    from proveout.app.naming import inspection_of, monitor_of, symptom_of
    from proveout.app.recording import reading_of
    from proveout.record import casefile
    from proveout.record.ahead import still_to_drive
    from proveout.record.closing import confirmation
    from proveout.record.deeds import counters_from, verification_body
    from proveout.show.deeds import confirmation_text

    book = open_book(layers, case)
    events = events_of(case)
    pairs = [item.partition("=") for item in repeated]
    body = verification_body(
        events,
        book,
        repeated=[
            reading_of(inspection_of(name, book), tuple(reading.split()), "", (), book).kept()
            for name, _, reading in pairs
        ],
        codes_cleared=codes_cleared,
        codes_now=[code_from(text) for text in codes_now],
        codes_read=codes_read or bool(codes_now),
        driven_km=driven or 0.0,
        counters=counters_from(counters),
        gone=[symptom_of(name, book) for name in gone],
        monitors_run=[monitor_of(name, book) for name in monitors_run],
        note=note,
    )
    head = append(case, events, body)
    events = casefile.read(case)
    found = confirmation(events, book)
    say(confirmation_text(found, still_to_drive(events, book), book, width()))
    tell(f"\nRecorded in {case} (head {head[:16]}).")
    return DONE if found.confirmed else FINDINGS
