"""``proveout ready``: what must still be driven, and whether an emissions inspection would pass now."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import DONE, FINDINGS, book_options, open_book, say, width


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.option(
    "--status", "word", metavar="HEX", help="The four readiness bytes (service 01, PID 01), in hex."
)
@click.option(
    "--ready", multiple=True, metavar="NAME", help="A monitor that is ready; rest for all not named."
)
@click.option("--not-ready", multiple=True, metavar="NAME", help="A monitor that is not ready.")
@click.option(
    "--model-year", type=click.IntRange(1980, 2100), metavar="YEAR", help="Model year of the vehicle."
)
@click.option("--programme", default="us-federal", show_default=True, metavar="ID", help="Which inspection.")
@book_options
def command(
    case: Path,
    word: str | None,
    ready: tuple[str, ...],
    not_ready: tuple[str, ...],
    model_year: int | None,
    programme: str,
    layers: tuple[Path, ...],
) -> int:
    """Say what driving CASE still needs, and what an emissions inspection would say now.

    \b
    proveout ready mycar.yaml --status "00 07 65 04" --model-year 2011
    """
    from proveout.app.filing import events_of
    from proveout.app.naming import word_of
    from proveout.readiness.inspection import known_programmes
    from proveout.readiness.status import decode_status
    from proveout.record.ahead import inspected_now, named, still_to_drive
    from proveout.show.deeds import ready_text

    book = open_book(layers, case)
    programmes = known_programmes(book)
    programme = word_of("programme", programme, programmes)
    events = events_of(case)
    status = decode_status(word) if word else None
    names = named(ready, not_ready)
    found = inspected_now(
        events, book, programmes[programme], model_year=model_year, status=status, names=names
    )
    say(ready_text(found, still_to_drive(events, book, status, names=names), width()))
    return DONE if found.passes else FINDINGS
