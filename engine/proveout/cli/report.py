"""``proveout report``: a page to print or to hand over."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, display_option, open_book, say, tell
from proveout.terminal.words_given import FILE_NAME


@click.command()
@click.argument("case", metavar="CASE", type=FILE_NAME, shell_complete=completing.case_files)
@click.option(
    "--out", metavar="FILE", type=click.Path(path_type=Path), help="Write here instead of printing."
)
@click.option(
    "--for",
    "reader",
    type=click.Choice(["customer", "technician", "assessor"]),
    default="assessor",
    show_default=True,
    help="The first page alone, the argument as well, or the audit as well.",
)
@click.option("--redact", is_flag=True, help="Leave out names, plate, job and what was said in free words.")
@click.option(
    "--job-sheet", is_flag=True, help="Instead, a sheet for under the car: the next inspections, blanks."
)
@book_options
@display_option
def command(
    case: str,
    out: Path | None,
    reader: str,
    redact: bool,
    job_sheet: bool,
    layers: tuple[Path, ...],
    display: str,
) -> None:
    """Write CASE as one self-contained HTML page, to print or to hand over.

    Page one is for whoever pays: complaint, what was found and done, what it cost, what to watch. Then comes
    the argument, then the audit in full with the head digest. Once something was mended, it argues from what
    was known before.

    \b
    proveout report mycar.yaml --out page.html
    proveout report mycar.yaml --for customer --redact --out page.html
    proveout report mycar.yaml --job-sheet --out sheet.html
    """
    from proveout.app.profile import in_force
    from proveout.app.source import open_case
    from proveout.app.story import story_of
    from proveout.plan.prices import priced
    from proveout.record import casefile, files
    from proveout.show.html import BEGINS
    from proveout.show.jobsheet import job_sheet_html
    from proveout.show.report import ASSESSOR, report_html
    from proveout.terminal.waiting import doing
    from proveout.text.visible import visible

    book = open_book(layers, case)
    source = open_case(case, book, sys.stdin.buffer, in_force(layers))
    book = priced(book, source.case.costs)
    recorded = source.path if source.recorded else None
    events = casefile.read(recorded) if recorded else ()
    with doing("Computing every advice anew" if reader == ASSESSOR and recorded else "Writing the page"):
        file = recorded if reader == ASSESSOR and not job_sheet else None
        story = story_of(source.document, events, book, file=file, redact=redact)
    page = job_sheet_html(story, display) if job_sheet else report_html(story, reader, display)
    if out is None:
        say(page)
        return
    files.make_directory(out.parent)
    files.replace(out, visible(page).encode(), begins=BEGINS.encode())
    tell(f"Wrote {out}.")
