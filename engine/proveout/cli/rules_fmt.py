"""``proveout rules fmt``: rule files in one layout, comments kept."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, FINDINGS, say, tell


@click.command()
@click.argument("paths", metavar="PATH...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--check", "look", is_flag=True, help="Write nothing; exit with 1 where a file would change.")
def command(paths: tuple[Path, ...], look: bool) -> int:
    """Lay out the rule files PATH, and those below directories PATH, in one way; comments are kept.

    Entries stand two columns deeper than what holds them, lines of more than 132 characters are broken at a
    comma or between words, and one empty line parts sections. Content never changes: a file that would say
    something else afterwards is refused and left alone.

    \b
    proveout rules fmt my-rules
    """
    from proveout.app.formatting import formatted

    changed = formatted(paths, write=not look)
    for path in changed:
        say(str(path))
    files = f"{len(changed)} file{'s' if len(changed) != 1 else ''}"
    tell(f"{files} {'would change' if look else 'changed'}.")
    return FINDINGS if look and changed else DONE
