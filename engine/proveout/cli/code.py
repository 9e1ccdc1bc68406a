"""``proveout code``: what a trouble code means, and what it does not."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, json_option, open_book, say, say_json, tell, width


@click.command()
@click.argument(
    "codes", metavar="CODE...", nargs=-1, required=True, shell_complete=completing.of("codes", inside=False)
)
@click.option("--full", is_flag=True, help="Say everything that the book knows of them.")
@book_options
@json_option
def command(codes: tuple[str, ...], full: bool, layers: tuple[Path, ...], as_json: bool) -> None:
    """Say what trouble codes mean and do not mean, what is usually behind them, what to do first.

    CODE is a letter and four characters, such as P0442, with a failure-type suffix where there is one. The
    JSON of one code is its document, that of several a list of these.

    \b
    proveout code P0442 P0171
    proveout code P0442 --full
    """
    from proveout.book.codes import parse_code
    from proveout.show.code import code_document, code_short, code_text, codes_document

    forms = [parse_code(code) for text in codes for code in text.split(",") if code]
    if as_json:
        book = open_book(layers)
        say_json(code_document(forms[0], book) if len(forms) == 1 else codes_document(forms, book))
    elif full:
        book = open_book(layers)
        say("\n\n".join(code_text(form, book, width()) for form in forms))
    else:
        from proveout.app.first_looks import first_looks
        from proveout.show.first_look import first_looks_text

        looks = first_looks([form.code for form in forms], layers, tell)
        short = [code_short(form, look, width()) for form, look in zip(forms, looks, strict=True)]
        say(first_looks_text(short))
