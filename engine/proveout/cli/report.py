"""``proveout report``: a page to print or to hand over."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proveout.terminal.common import book_options, display_option, open_book, say, tell


@click.command()
@click.argument("case", metavar="CASE")
@click.option(
    "--out", metavar="FILE", type=click.Path(path_type=Path), help="Write here instead of printing."
)
@book_options
@display_option
def command(case: str, out: Path | None, layers: tuple[Path, ...], display: str) -> None:
    """Write CASE as one self-contained HTML page: verdict, what was inspected, why, and the head digest.

    Once something was mended, the page argues from what was known before, and then says what was done.
    """
    from proveout.app.source import open_case
    from proveout.intake.document import case_of
    from proveout.plan.advice import advise
    from proveout.record import casefile, files, state
    from proveout.show.report import BEGINS, report_html
    from proveout.text.visible import visible

    book = open_book(layers)
    source = open_case(case, book, sys.stdin.buffer)
    events = casefile.read(source.path) if source.recorded and source.path else ()
    mended = next((event.n for event in events if event.kind == "repair"), None)
    document = state.merged(events, mended - 1) if mended else source.document
    told = case_of(document, book)
    page = report_html(document, advise(told, book), book, events, display)
    if out is None:
        say(page)
        return
    files.make_directory(out.parent)
    files.replace(out, visible(page).encode(), begins=BEGINS.encode())
    tell(f"Wrote {out}.")
