"""``proveout rules graph``: what bears on an entry, drawn."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, book_options, open_book, out_option, say, tell


@click.command()
@click.argument("entry", metavar="ID")
@click.option(
    "--format",
    "form",
    type=click.Choice(["svg", "dot"]),
    default="svg",
    show_default=True,
    help="A drawing, or the language of Graphviz.",
)
@click.option(
    "--most", type=click.IntRange(1, 10_000), default=25, show_default=True, help="Most frequencies shown."
)
@out_option
@book_options
def command(entry: str, form: str, most: int, out: Path | None, layers: tuple[Path, ...]) -> int:
    """Draw what bears on a cause, or what a code, symptom, circumstance, inspection or finding bears on.

    ID may be a title or a word for it, too. Of many frequencies the largest are shown.

    \b
    proveout rules graph purge-valve-stuck-open --out purge-valve.svg
    proveout rules graph P0442 --format dot
    """
    from proveout.app.naming import entry_of
    from proveout.book.around import around
    from proveout.record.files import replace
    from proveout.show.graph import graph_dot, graph_svg

    book = open_book(layers)
    graph = around(book, entry_of(entry, book), most)
    text = (graph_dot if form == "dot" else graph_svg)(book, graph)
    if out is None:
        say(text)
    else:
        replace(out, f"{text}\n".encode(), b"digraph " if form == "dot" else b"<svg ")
        tell(f"Wrote {out}.")
    return DONE
