"""``proveout code``: what a trouble code means, and what it does not."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.cli.common import book_options, json_option, open_book, say, say_json, width


@click.command()
@click.argument("code", metavar="CODE")
@book_options
@json_option
def command(code: str, layers: tuple[Path, ...], as_json: bool) -> None:
    """Say what a trouble code means by its structure and by the catalogue, and what it does not mean.

    CODE is a letter and four characters, such as P0442, with a failure-type suffix where there is one.
    """
    from proveout.book import parse_code
    from proveout.show import code_document, code_text

    form = parse_code(code)
    book = open_book(layers)
    if as_json:
        say_json(code_document(form, book))
    else:
        say(code_text(form, book, width()))
