"""``proveout steps``: how to do an inspection."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proveout.terminal.common import book_options, display_option, open_book, say, width


@click.command()
@click.argument("case", metavar="CASE")
@click.argument("inspection", metavar="[INSPECTION]", required=False)
@book_options
@display_option
def command(case: str, inspection: str | None, layers: tuple[Path, ...], display: str) -> None:
    """Print one page on how to do an inspection: cautions first, then tools, leads, steps and limits.

    INSPECTION is an id, a title, or how one begins; without it, the one that triage proposes next for CASE.
    """
    from proveout.app.naming import id_of
    from proveout.app.source import open_case
    from proveout.intake.readings import own_limits
    from proveout.plan.advice import advise
    from proveout.show.inspection import steps_page
    from proveout.show.next import record_text
    from proveout.terminal.paper import show
    from proveout.terminal.waiting import doing

    book = open_book(layers)
    opened = open_case(case, book, sys.stdin.buffer)
    if inspection is None:
        with doing("Working out what to do next"):
            proposed = advise(opened.case, book).next
        if proposed is None:
            say("Nothing further is worth inspecting in this case; see the verdict of `proveout triage`.")
            return
        name = proposed.inspection
    else:
        name = id_of("inspection", inspection, book.inspections)
    entry = book.inspections[name]
    page = steps_page(book, entry, width(), display, own_limits(name, opened.case, book))
    if opened.recorded:
        page.line()
        page.lay(record_text(entry, case, width()).split("\n"))
    show(page)
