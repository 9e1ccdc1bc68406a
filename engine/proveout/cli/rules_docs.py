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
    the pages ask nothing of anybody. Older pages of the same names are replaced; what else lies in DIR is
    left as it is. Needs the extra `web`.

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
    from proveout.record.files import make_directory, replace

    made: set[Path] = set()
    count = 0
    for name, content, begins in pages(open_book(layers)):
        path = directory / name
        if path.parent not in made:
            make_directory(path.parent)
            made.add(path.parent)
        replace(path, content, begins)
        count += 1
    tell(f"Wrote {count} files; begin with {directory / 'index.html'}.")
    return DONE
