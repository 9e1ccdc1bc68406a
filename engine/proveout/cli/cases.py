"""``proveout cases``: find cases among many."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from proveout.terminal import completing
from proveout.terminal.common import DONE, FINDINGS, Amount, json_option, say, say_json, tell

#: Most files that are told to be left out.
MOST_TOLD = 200


@click.command(name="cases")
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "--vehicle", default="", metavar="TEXT", help="Words of the title, the vehicle or the file's name."
)
@click.option(
    "--code",
    default="",
    metavar="CODE",
    shell_complete=completing.of("codes", inside=False),
    help="A code of the case.",
)
@click.option(
    "--cause",
    default="",
    metavar="ID",
    shell_complete=completing.of("causes"),
    help="The cause that it was, or that leads.",
)
@click.option("--open/--closed", "is_open", default=None, help="Only open, or only closed cases.")
@click.option("--outcome", default="", metavar="WORD", help="How it ended.")
@click.option(
    "--wrong-cost",
    type=Amount(0, 1e9),
    metavar="AMOUNT",
    help="At least this much was spent on wrong parts.",
)
@click.option(
    "--order",
    type=click.Choice(["last", "opened", "wrong_cost", "parts_cost"]),
    default="last",
    show_default=True,
    help="The largest first.",
)
@click.option(
    "--most", "limit", type=click.IntRange(1, 1_000_000), default=50, show_default=True, help="Most rows."
)
@click.option("--totals", is_flag=True, help="Count by outcome and cause instead of listing.")
@json_option
def command(directory: Path, is_open: bool | None, totals: bool, as_json: bool, **given: Any) -> int:
    """List the case files below DIR that fit, the latest first.

    Files that cannot be read or are damaged are named and left out (exit code 1). Totals check closed cases
    in full before they count them.

    \b
    proveout cases . --code P0442 --open
    proveout cases . --totals
    """
    from proveout.app.names import CAUSES, names, titles
    from proveout.app.places import cache_dir
    from proveout.intake.resolve import resolve
    from proveout.record.index import CaseIndex, Query
    from proveout.show.listing import cases_document, cases_text, totals_document, totals_text

    closed = None if is_open is None else not is_open
    given["cause"] = resolve(given["cause"], titles(CAUSES)) if given["cause"] else ""
    query = Query(closed=closed, **{**given, "code": given["code"].upper()})
    index = CaseIndex(directory, cache_dir() / "indexes")
    refreshed = index.refresh()
    problems = refreshed.problems + (index.check_closed() if totals else ())
    for problem in problems[:MOST_TOLD]:
        tell(f"left out: {problem}")
    if len(problems) > MOST_TOLD:
        tell(f"left out: {len(problems) - MOST_TOLD} more")
    done = FINDINGS if problems else DONE
    if totals:
        rows = index.totals(query)
        say_json(totals_document(rows)) if as_json else say(totals_text(rows, names(CAUSES)))
        return done
    found = index.find(query)
    say_json(cases_document(found)) if as_json else say(cases_text(found, names(CAUSES)))
    return done
