"""``proveout rules docs``: the book as static pages."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, book_options, open_book, tell


@click.command()
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
@book_options
def command(directory: Path, layers: tuple[Path, ...]) -> int:
    """Write the book as static pages into DIR, to be opened from disk or put on any server.

    Every entry has its page: what it says, which rules and rows speak of it with which figures, where it
    stands and where it is used; every source one with all that rests on it. The search needs no server, and
    the pages ask nothing of anybody. Older pages of the same names are replaced, and pages that this
    command wrote before and the book no longer has are removed, unless they were changed since; what else
    lies in DIR is left as it is. `written.sha256` lists what was written. Needs the extra `web`.

    \b
    proveout rules docs pages
    proveout rules docs pages --rules my-rules
    """
    try:
        from proveout.show.docs.pages import pages
    except ModuleNotFoundError as error:
        raise click.UsageError(
            f"rules docs needs the extra `web` ({error.name} is missing): pip install 'proveout[web]'"
        ) from None
    from proveout.app.publishing import publish

    count, gone = publish(directory, pages(open_book(layers)))
    removed = f" and removed {gone} of what the book no longer has" if gone else ""
    tell(f"Wrote {count} files{removed}; begin with {directory / 'index.html'}.")
    return DONE
