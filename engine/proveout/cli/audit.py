"""``proveout audit``: does the record hold, and why was that part recommended?"""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import (
    DAMAGED,
    DONE,
    FINDINGS,
    book_options,
    display_option,
    json_option,
    open_book,
    say,
    say_json,
    tell,
    width,
)


@click.command()
@click.argument("case", metavar="CASE", type=click.Path(path_type=Path), shell_complete=completing.case_files)
@click.option("--head", metavar="DIGEST", help="A head digest kept elsewhere: detects a cut tail.")
@click.option(
    "--against",
    "other",
    multiple=True,
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="Also say what today's book with these layers would have said (repeatable; . for none).",
)
@click.option(
    "--mend",
    is_flag=True,
    help="Set the torn end of a file aside that was being written when the power went; nothing else changes.",
)
@click.option("--full", is_flag=True, help="Print the argument in full, with rules, ledger and alternatives.")
@book_options
@display_option
@json_option
def command(
    case: Path,
    head: str | None,
    other: tuple[Path, ...],
    mend: bool,
    full: bool,
    layers: tuple[Path, ...],
    display: str,
    as_json: bool,
) -> int:
    """Check the record of CASE, compute every advice anew with its own book, and argue each purchase.

    Exit code 4: the record is damaged. Exit code 1: an advice comes out otherwise.

    \b
    proveout audit mycar.yaml
    proveout audit mycar.yaml --full --head DIGEST
    """
    from proveout.app.places import data_dir
    from proveout.audit.argument import arguments
    from proveout.audit.replay import audit
    from proveout.show.audit import argument_text, audit_document, audit_text

    if mend:
        _mend(case)
    book = open_book(layers)
    against = open_book(tuple(path for path in other if path != Path())) if other else None
    found = audit(case, data_dir() / "books", head=head, today=book, against=against)
    argued = (
        arguments(found.verification.events, data_dir() / "books", book) if found.verification.sound else ()
    )
    if as_json:
        say_json(audit_document(found, argued))
    else:
        say(audit_text(found, width()))
        for item in argued:
            say("\n" + argument_text(item, full, width(), display))
    if not found.verification.sound:
        return DAMAGED
    return DONE if found.clean else FINDINGS


def _mend(case: Path) -> None:
    """Set a torn end aside, or say that there is none."""
    from proveout.record.casefile import mend_torn

    aside = mend_torn(case)
    if aside is None:
        tell(f"No event of {case} is torn.")
    else:
        tell(f"The torn end of {case} now lies in {aside}; record again what it was.")
