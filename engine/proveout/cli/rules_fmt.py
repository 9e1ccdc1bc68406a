"""``proveout rules fmt``: rule files in one layout, comments kept."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, FINDINGS, say, tell


@click.command()
@click.argument("paths", metavar="PATH...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--check", "only_check", is_flag=True, help="Write nothing; exit with 1 on a change.")
def command(paths: tuple[Path, ...], only_check: bool) -> int:
    """Lay out the rule files PATH, and those below directories PATH, in one way; comments are kept.

    Content never changes: a file that would say something else afterwards is refused and left alone.

    \b
    proveout rules fmt my-rules
    """
    from proveout.app.formatting import formatted

    changed = formatted(paths, write=not only_check)
    for path in changed:
        say(str(path))
    tell(
@click.option("--check", "only_check", is_flag=True, help="Write nothing; exit 1 where a file would change.")
    )
    return FINDINGS if only_check and changed else DONE
