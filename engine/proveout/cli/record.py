"""``proveout record``: record a reading or a result, or withdraw one."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.cli.common import (
    at_terminal,
    book_options,
    display_option,
    json_option,
    open_book,
    say,
    say_json,
    tell,
    width,
)


@click.command(context_settings={"ignore_unknown_options": True})
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path))
@click.argument("inspection", metavar="[INSPECTION]", required=False)
@click.argument("reading", metavar="[RESULT | VALUE | STIMULUS=RESPONSE...]", nargs=-1)
@click.option("--with", "instrument", metavar="NAME", default="", help="The instrument that was used.")
@click.option("--under", "conditions", multiple=True, metavar="TEXT", help="A condition of the reading.")
@click.option("--withdraw", type=int, metavar="N", help="Withdraw the reading recorded as event N.")
@book_options
@display_option
@json_option
def command(
    case: Path,
    inspection: str | None,
    reading: tuple[str, ...],
    instrument: str,
    conditions: tuple[str, ...],
    withdraw: int | None,
    layers: tuple[Path, ...],
    display: str,
    as_json: bool,
) -> None:
    """Record what INSPECTION gave in CASE, and show at once what that changed.

    \b
    proveout record mycar.yaml cap-seal-look sound
    proveout record mycar.yaml tank-sensor-five-volts 4.98 V
    proveout record mycar.yaml tank-sensor-vacuum-series 0kPa=2.5V -1kPa=2.2V -2kPa=1.8V -3kPa=1.6V
    proveout record mycar.yaml --withdraw 4
    """
    from proveout.cli.recording import ask_reading, body_of, record, withdrawn
    from proveout.show import change_text, reading_text, triage_document

    book = open_book(layers)
    if withdraw is not None:
        if inspection or reading:
            raise click.UsageError("Give either --withdraw N or an inspection, not both.")
        kept = withdrawn(case, withdraw, book, layers)
    else:
        if inspection is None:
            raise click.UsageError("Name the inspection that was done, or --withdraw N.")
        if not reading:
            reading = ask_reading(inspection, book, at_terminal())
        body = body_of(inspection, reading, instrument, conditions, book)
        kept = record(case, body, book, layers)
    if as_json:
        say_json(triage_document(kept.after, book))
    else:
        if inspection is not None and kept.reading is not None:
            say(reading_text(book.inspections[inspection], kept.reading, width(), display) + "\n")
        say(change_text(kept.before, kept.after, book, width(), display))
    tell(f"\nKept in {case} (head {kept.head[:16]}).")
