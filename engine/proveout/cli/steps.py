"""``proveout steps``: how to do an inspection."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, display_option, open_book, say, tell, width
from proveout.terminal.words_given import FILE_NAME


@click.command()
@click.argument("case", metavar="CASE", type=FILE_NAME, shell_complete=completing.case_files)
@click.argument(
    "inspection", metavar="[INSPECTION]", required=False, shell_complete=completing.of("inspections")
)
@click.option(
    "--page",
    "out",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write it as an HTML page to print, with its pictures, instead of showing it.",
)
@book_options
@display_option
def command(
    case: str, inspection: str | None, out: Path | None, layers: tuple[Path, ...], display: str
) -> None:
    """Print one page on how to do an inspection: cautions first, then tools, leads, steps and limits.

    Pictures say where it is in the car and where the leads go.
    INSPECTION is an id, a title, a word for it, or how one begins; without it, the one that triage proposes
    next for CASE.

    \b
    proveout steps mycar.yaml
    proveout steps mycar.yaml cap-seal-look
    """
    from proveout.app.naming import inspection_of
    from proveout.app.profile import in_force
    from proveout.app.source import open_case
    from proveout.intake.readings import own_limits
    from proveout.plan.advice import advise
    from proveout.show.inspection import steps_page
    from proveout.show.next import record_text
    from proveout.terminal.paper import show
    from proveout.terminal.waiting import doing

    book = open_book(layers, case)
    opened = open_case(case, book, sys.stdin.buffer, in_force(layers))
    if inspection is None:
        with doing("Working out what to do next"):
            proposed = advise(opened.case, book).next
        if proposed is None:
            say("Nothing further is worth inspecting in this case; see the verdict of `proveout triage`.")
            return
        name = proposed.inspection
    else:
        name = inspection_of(inspection, book)
    entry = book.inspections[name]
    if out is not None:
        from proveout.record import files
        from proveout.show.html import BEGINS
        from proveout.show.jobsheet import sheets_html
        from proveout.text.visible import visible

        html = sheets_html(entry.title, [entry], book, opened.case, opened.document, display)
        files.make_directory(out.parent)
        files.replace(out, visible(html).encode(), begins=BEGINS.encode())
        tell(f"Wrote {out}.")
        return
    page = steps_page(book, entry, width(), display, own_limits(name, opened.case, book), opened.case.has)
    if opened.recorded:
        page.line()
        page.lay(record_text(entry, case, width()).split("\n"))
    show(page)
