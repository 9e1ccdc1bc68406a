"""``proveout record``: record a reading or a result, or withdraw one."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.model.presence import MARKS
from proveout.terminal import completing
from proveout.terminal.common import (
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


class _ReadingCommand(click.Command):
    """A command whose arguments may be values below zero: none of ``-20 inHg`` is taken for an option."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        return super().parse_args(ctx, ["--help" if item == "-h" else item for item in args])


@click.command(
    cls=_ReadingCommand, context_settings={"ignore_unknown_options": True, "help_option_names": ["--help"]}
)
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.argument(
    "inspection", metavar="[INSPECTION]", required=False, shell_complete=completing.of("inspections")
)
@click.argument("reading", metavar="[RESULT | VALUE | STIMULUS=RESPONSE...]", nargs=-1)
@click.option("--with", "instrument", metavar="NAME", default="", help="The instrument that was used.")
@click.option("--under", "conditions", multiple=True, metavar="TEXT", help="A condition of the reading.")
@click.option("--fault", type=click.Choice(tuple(MARKS)), default=None,
              help="Whether the fault was there meanwhile; unknown unless you say.")  # fmt: skip
@click.option("--old-part", is_flag=True, help="It was of a part that has been replaced since.")
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
    fault: str | None,
    old_part: bool,
    withdraw: int | None,
    layers: tuple[Path, ...],
    display: str,
    as_json: bool,
) -> None:
    """Record what INSPECTION gave in CASE, and show at once what that changed.

    INSPECTION is an id, a title, a word for it, or how one begins; without it, the one that triage proposes.
    Where it cannot be done, cannot-reach, no-tool or not-today sets it aside, and another is proposed.

    \b
    proveout record mycar.yaml sound
    proveout record mycar.yaml cap-seal-look sound
    proveout record mycar.yaml tank-sensor-five-volts 4.98 V
    proveout record mycar.yaml tank-sensor-vacuum-series 0kPa=2.5V -1kPa=2.2V -2kPa=1.8V -3kPa=1.6V
    proveout record mycar.yaml throttle-five-volts 4.98 V --fault absent
    proveout record mycar.yaml --withdraw 4
    """
    from msgspec.structs import replace

    from proveout.app.filing import events_of
    from proveout.app.last_book import book_told
    from proveout.app.meant import meant
    from proveout.app.recording import appended, reading_of, record, withdrawn
    from proveout.intake.answers import meant as meant_by
    from proveout.model.case import SET_ASIDE
    from proveout.record.bodies import Amendment
    from proveout.record.documents import triage_document
    from proveout.record.state import merged
    from proveout.show.change import change_text
    from proveout.show.next import next_step_text
    from proveout.show.reading import reading_text
    from proveout.terminal.asking import ask_reading

    book = open_book(layers, case)
    if withdraw is not None:
        if inspection or reading:
            raise click.UsageError("Give either --withdraw N or an inspection, not both.")
        kept = withdrawn(case, withdraw, book, layers)
    else:
        document = merged(events_of(case))
        inspection, reading = meant((*((inspection,) if inspection else ()), *reading), document, book, tell)
        reading = meant_by(reading, book.inspections[inspection]) if reading else ()
        reading = reading or ask_reading(inspection, document, book, at_terminal())
        if reading[0] in SET_ASIDE and len(reading) == 1:
            aside = Amendment(adds={"set_aside": {inspection: reading[0]}})
            kept = appended(case, aside, book, layers)
        else:
            taken = reading_of(inspection, reading, instrument, conditions, book)
            taken = replace(taken, fault=fault or "", old_part=old_part or None)
            kept = record(case, taken, book, layers)
    if as_json:
        say_json(triage_document(kept.after, book))
    else:
        if inspection is not None and kept.reading is not None:
            say(reading_text(book.inspections[inspection], kept.reading, width(), display) + "\n")
        say(change_text(kept.before, kept.after, book, width(), display))
        say(next_step_text(kept.after, book, str(case), width()))
    told = book_told(book.layers)
    tell(f"\nKept in {case} (head {kept.head[:16]}).\nAdvised with book {book.digest[:16]}: {told}.")
