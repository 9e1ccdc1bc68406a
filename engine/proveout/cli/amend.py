"""``proveout amend``: add to what is known of a case, take something back, set an inspection aside."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from proveout.model.case import SET_ASIDE
from proveout.terminal import completing
from proveout.terminal.common import (
    at_terminal,
    book_options,
    json_option,
    open_book,
    say,
    say_json,
    tell,
    width,
)
from proveout.terminal.facts import fact_options


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@fact_options
@click.option(
    "--withdraw", multiple=True, metavar="NAME", help="Take back what the case holds: a code, a symptom, ..."
)
@click.option("--cannot-reach", multiple=True, is_flag=False, flag_value="", metavar="[INSPECTION]",
              shell_complete=completing.of("inspections"),
              help="It cannot be got at; without a name the one proposed.")  # fmt: skip
@click.option("--no-tool", multiple=True, is_flag=False, flag_value="", metavar="[INSPECTION]",
              shell_complete=completing.of("inspections"),
              help="A tool for it is not there.")  # fmt: skip
@click.option("--not-today", multiple=True, is_flag=False, flag_value="", metavar="[INSPECTION]",
              shell_complete=completing.of("inspections"),
              help="There is no time or place for it now.")  # fmt: skip
@click.option("--reason", default="", metavar="TEXT", help="Why; kept with the amendment.")
@book_options
@json_option
def command(
    case: Path, withdraw: tuple[str, ...], reason: str, layers: tuple[Path, ...], as_json: bool, **given: Any
) -> None:
    """Add to what is known of CASE, or take something back; the advice follows.

    What is added and what is taken back stays in the record. Without options, questions are asked at a
    terminal.

    \b
    proveout amend mycar.yaml --code P0171:pending --symptom "rough idle" --tool multimeter
    proveout amend mycar.yaml --withdraw P0442 --withdraw mileage
    proveout amend mycar.yaml --cannot-reach
    """
    from proveout.app.amending import drops, set_aside
    from proveout.app.facts import document_from
    from proveout.app.filing import events_of
    from proveout.app.recording import appended
    from proveout.record.bodies import Amendment
    from proveout.record.documents import triage_document
    from proveout.record.state import merged
    from proveout.show.change import change_text
    from proveout.show.next import next_step_text

    book = open_book(layers, case)
    document = merged(events_of(case))
    aside = {why: given.pop(why.replace("-", "_")) for why in SET_ASIDE}
    adds, left_out = document_from(given, book)
    if left_out:
        tell("Left out of the table, as no rule uses it: " + "; ".join(left_out[:20]))
    if any(aside.values()):
        adds["set_aside"] = set_aside(aside, document, book)
    dropped = drops(withdraw, document, book)
    if not adds and not withdraw:
        if not at_terminal():
            raise click.UsageError("Nothing was given to add or to take back.")
        adds = _asked(book)
    kept = appended(case, Amendment(adds=adds, drops=dropped, reason=reason), book, layers)
    if as_json:
        say_json(triage_document(kept.after, book))
    else:
        say(change_text(kept.before, kept.after, book, width()))
        say(next_step_text(kept.after, book, str(case), width()))
    tell(f"\nKept in {case} (head {kept.head[:16]}). Taken back with: proveout undo {case}")


def _asked(book: Any) -> dict[str, Any]:
    """Ask for what is to be added."""
    from proveout.terminal.questions import questions
    from proveout.terminal.talk import Draft, converse, joined

    draft = Draft()
    converse(questions(book), draft, lambda _draft: None)
    found = joined(draft.parts.values())
    if not found:
        raise click.UsageError("Nothing was said; nothing was added.")
    return found
