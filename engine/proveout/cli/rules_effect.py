"""``proveout rules effect``: what one rule or row changes."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, book_options, json_option, open_book, say, say_json
from proveout.terminal.working import sample_options, watched


@click.command()
@click.argument("rule", metavar="ID")
@book_options
@sample_options(draw=50)
@click.option(
    "--least",
    type=click.FloatRange(0, 1),
    default=0.02,
    show_default=True,
    help="Least move of a confidence that counts as a change.",
)
@click.option("--most", type=click.IntRange(1, 100_000), default=20, show_default=True, help="Changes shown.")
@json_option
def command(
    rule: str,
    layers: tuple[Path, ...],
    case_dirs: tuple[Path, ...],
    draw: int,
    seed: int,
    least: float,
    most: int,
    as_json: bool,
) -> int:
    """Say what the rule or row ID changes: the same cases with the book as it is, and as it is without it.

    The cases are those of `rules compare`. "Before" is without the rule.

    \b
    proveout rules effect code:P0442
    proveout rules effect cap-seal-look=damaged --draw 200
    """
    from proveout.app.comparing import compare, sample
    from proveout.app.naming import refuse_unknown
    from proveout.book.load import book_without
    from proveout.show.compared import compared_document, compared_text

    book = open_book(layers)
    refuse_unknown([rule], book.rules, "rule or row")
    cases = sample(book, case_dirs, draw, seed)
    found = compare(book_without(layers, rule), book, cases, least=least, watch=watched)
    if as_json:
        say_json(compared_document(found, ()))
    else:
        say(compared_text(found, found.changes, most))
    return DONE
