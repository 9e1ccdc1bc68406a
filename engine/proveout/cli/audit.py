"""``proveout audit``: does the record hold, and why was that part recommended?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    from proveout.audit.proof import Trusted


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
@click.option(
    "--full",
    is_flag=True,
    help="Print the arguments in full: ledger, rules, frequencies, sources, alternatives.",
)
@click.option(
    "--export",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write the case, every book it used and the program's version into one file, to be handed over.",
)
@click.option(
    "--signer",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="The public key that must have signed what the record ends with.",
)
@click.option(
    "--authority",
    "authorities",
    multiple=True,
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Certificates of an authority whose time stamps are believed (repeatable).",
)
@book_options
@display_option
@json_option
def command(
    case: Path,
    head: str | None,
    other: tuple[Path, ...],
    mend: bool,
    full: bool,
    export: Path | None,
    signer: Path | None,
    authorities: tuple[Path, ...],
    layers: tuple[Path, ...],
    display: str,
    as_json: bool,
) -> int:
    """Check the record of CASE, compute every advice anew with its own book, and tell each repair's story.

    CASE is a case file, or what --export wrote of one: that is checked anywhere, without the books of whoever
    keeps the case. Exit code 4: the record is damaged. Exit code 1: something speaks against it, or an advice
    comes out otherwise.

    \b
    proveout audit mycar.yaml
    proveout audit mycar.yaml --full --head DIGEST
    proveout audit mycar.yaml --export mycar.handover
    proveout audit mycar.handover --signer shop.key.pub
    """
    from proveout.app.auditing import audit_case
    from proveout.app.auditing import export as write_out
    from proveout.show.audit import audit_document, audit_text, other_book_text, story_text

    if mend:
        _mend(case)
    if export is not None:
        number = write_out(case, export, layers)
        tell(f"Wrote {export}: the case and {number} {'book' if number == 1 else 'books'}.")
    book = open_book(layers, case)
    against = open_book(tuple(path for path in other if path != Path())) if other else None
    given = audit_case(case, book, head=head, other=against, trusted=_trusted(signer, authorities))
    if given.handed is not None and not as_json:
        say(
            "Handed over: {}, written by {}, as the file says.".format(
                *(part or "?" for part in given.handed)
            )
        )
    if as_json:
        say_json(audit_document(given.found, given.arguments, given.against))
    else:
        parts = [audit_text(given.found, width()), story_text(given.chapters, full, width(), display)]
        parts += [other_book_text(given.against, width())] if given.against else []
        say("\n\n".join(part for part in parts if part))
    if not given.found.verification.sound:
        return DAMAGED
    return DONE if given.found.clean else FINDINGS


def _trusted(signer: Path | None, authorities: tuple[Path, ...]) -> Trusted:
    """Read the keys and certificates that are believed."""
    from proveout.audit.proof import Trusted
    from proveout.record import files
    from proveout.record.signing import public_of

    key = public_of(files.read(signer), str(signer)) if signer is not None else ""
    return Trusted(key, b"\n".join(files.read(path) for path in authorities))


def _mend(case: Path) -> None:
    """Set a torn end aside, or say that there is none."""
    from proveout.record.casefile import mend_torn

    aside = mend_torn(case)
    if aside is None:
        tell(f"No event of {case} is torn.")
    else:
        tell(f"The torn end of {case} now lies in {aside}; record again what it was.")
