"""``proveout terms``: words of the trade, explained."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import book_options, json_option, open_book, say, say_json, width


@click.command()
@click.argument("words", metavar="[WORD...]", nargs=-1, shell_complete=completing.of("glossary"))
@book_options
@json_option
def command(words: tuple[str, ...], layers: tuple[Path, ...], as_json: bool) -> None:
    """Explain words of the trade, each in two sentences; all of them without a WORD.

    \b
    proveout terms back-probe
    proveout terms "fuel trim" bank
    """
    from proveout.app.naming import word_of
    from proveout.show.glossary import term_lines, terms_document

    book = open_book(layers)
    glossary = book.words.glossary
    chosen = dict.fromkeys(word_of("term", word, glossary) for word in words)
    named = chosen or sorted(glossary, key=lambda name: glossary[name].title.casefold())
    terms = [glossary[name] for name in named]
    if as_json:
        say_json(terms_document(terms))
    else:
        say("\n".join(line for term in terms for line in term_lines(term, width())))
