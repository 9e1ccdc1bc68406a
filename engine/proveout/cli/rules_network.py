"""``proveout rules network``: a case's network for other programs."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import DONE, book_options, open_book, out_option, say, tell
from proveout.terminal.words_given import FILE_NAME


@click.command()
@click.argument("case", metavar="CASE", type=FILE_NAME, shell_complete=completing.case_files)
@out_option
@book_options
def command(case: str, out: Path | None, layers: tuple[Path, ...]) -> int:
    """Write the Bayesian network of CASE as BIF, for other programs to compute the confidences again.

    CASE is a case file, an intake document, or -. The file says which variables were seen in which state, and
    has one that holds sets of causes to the size that is considered. Where an observation of several
    abnormal states answers to more than 12 causes, what was seen of it is written, not its whole table.
    Refused is what the book holds impossible.

    \b
    proveout rules network mycar.yaml --out mycar.bif
    """
    from proveout.app.profile import in_force
    from proveout.app.source import open_case
    from proveout.intake.sheet import sheet_of
    from proveout.record.files import replace
    from proveout.show.bif import BEGINS, bif
    from proveout.weigh.inference import infer
    from proveout.weigh.written_out import written_out

    book = open_book(layers, case)
    opened = open_case(case, book, sys.stdin.buffer, in_force(layers))
    found = infer(book, sheet_of(opened.case, book))
    text = bif(written_out(found.network, found.posterior))
    if out is None:
        say(text.rstrip("\n"))
    else:
        replace(out, text.encode(), BEGINS.encode())
        tell(f"Wrote {out}.")
    return DONE
