"""``proveout steps``: how to do an inspection."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.cli.common import book_options, display_option, open_book, say, width


@click.command()
@click.argument("case", metavar="CASE")
@click.argument("inspection", metavar="[INSPECTION]", required=False)
@book_options
@display_option
def command(case: str, inspection: str | None, layers: tuple[Path, ...], display: str) -> None:
    """Print one page on how to do an inspection: cautions first, then tools, leads, steps and limits.

    Without INSPECTION it is the one that triage proposes next for CASE.
    """
    from proveout.cli.advise import advise
    from proveout.cli.source import open_case
    from proveout.intake import own_limits, unknown_id
    from proveout.model.problem import NOWHERE, BadInputError
    from proveout.show import steps_text

    book = open_book(layers)
    opened = open_case(case, book)
    if inspection is None:
        proposed = advise(opened.case, book).next
        if proposed is None:
            say("Nothing further is worth inspecting in this case; see the verdict of `proveout triage`.")
            return
        inspection = proposed.inspection
    if inspection not in book.inspections:
        raise BadInputError(unknown_id("inspection", inspection, book.inspections, NOWHERE))
    own = own_limits(inspection, opened.case, book)
    say(steps_text(book, book.inspections[inspection], width(), display, own))
