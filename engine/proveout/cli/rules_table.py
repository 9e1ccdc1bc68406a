"""``proveout rules table``: the rules of a topic as a decision table."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, book_options, open_book, out_option, say, tell


@click.command()
@click.argument("topic", metavar="TOPIC")
@out_option
@book_options
def command(topic: str, out: Path | None, layers: tuple[Path, ...]) -> int:
    """Write the rules and rows of TOPIC as a DMN 1.3 decision table.

    TOPIC is a rule file as `rules show` names it, such as rules/evap/purge-valve.yaml, or how its path ends.
    The table says which rules hold and what they say, no more: it computes no confidence, and findings are
    inputs.

    \b
    proveout rules table evap/purge-valve.yaml --out purge-valve.dmn
    """
    from proveout.app.topics import rules_of
    from proveout.record.files import replace
    from proveout.show.decision_table import decision_table

    book = open_book(layers)
    text = decision_table(book, topic, rules_of(topic, book))
    if out is None:
        say(text)
    else:
        replace(out, f"{text}\n".encode(), b"<?xml ")
        tell(f"Wrote {out}.")
    return DONE
