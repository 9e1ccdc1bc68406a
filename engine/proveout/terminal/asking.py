"""Asks for the reading that is missing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import click

from proveout.app.meant import tried
from proveout.intake.answers import meant
from proveout.intake.forms import reading_forms
from proveout.model.atom import CANNOT_TELL
from proveout.model.book import Book
from proveout.model.case import SET_ASIDE
from proveout.model.problem import BadInputError
from proveout.terminal.talk import BackError, line, tell


def ask_reading(name: str, document: Mapping[str, Any], book: Book, may_ask: bool) -> tuple[str, ...]:
    """Ask for the reading that is missing until it can be used; if nobody can be asked, say what is expected.

    Raises:
        click.UsageError: nobody can be asked.
        click.Abort: nothing was answered.
    """
    entry = book.inspections[name]
    if not may_ask:
        raise click.UsageError(f"No reading was given for {name}: expected {reading_forms(entry)}.")
    tell(f"{entry.title}: {reading_forms(entry)}, or {', '.join(SET_ASIDE)}.")
    answers = [f"{result.id}: {result.means}" for result in entry.results]
    answers += [f"{CANNOT_TELL}: it was done, and told nothing"]
    answers += [f"{why}: it {said}; another is proposed" for why, said in SET_ASIDE.items()]
    while True:
        try:
            words = meant(line("What it gave", lambda: answers, skips=("",)).split(), entry)
        except BackError:
            words = ()
        if not words:
            raise click.Abort
        if words[0] in SET_ASIDE and len(words) == 1:
            return words
        try:
            tried(name, words, document, book)
        except BadInputError as error:
            for problem in error.problems:
                tell(f"  {problem}")
        else:
            return words
