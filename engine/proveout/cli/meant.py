"""Which inspection and which reading is meant by what was typed, and asking for what is missing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import click

from proveout.cli.advise import advise
from proveout.cli.naming import id_of
from proveout.cli.recording import body_of
from proveout.cli.talk import BackError, line, tell
from proveout.intake.document import case_of
from proveout.intake.index import plain_text
from proveout.intake.readings import judged
from proveout.intake.resolve import choose
from proveout.model.atom import CANNOT_TELL
from proveout.model.book import Book
from proveout.model.case import SET_ASIDE
from proveout.model.problem import BadInputError
from proveout.show.next import reading_forms


def meant(words: tuple[str, ...], document: Mapping[str, Any], book: Book) -> tuple[str, tuple[str, ...]]:
    """Give the inspection that is meant and the words of its reading.

    An inspection is named by its id or title, or how one begins; without a name it is the one proposed, where
    the words can be a reading of it.

    Raises:
        BadInputError: the first word names nothing.
        click.UsageError: no inspection is named, and none proposed.
    """
    first = words[0] if words else ""
    if first in book.inspections:
        return first, words[1:]
    if first and any(plain_text(entry.title) == plain_text(first) for entry in book.inspections.values()):
        return id_of("inspection", first, book.inspections), words[1:]
    proposed = advise(case_of(document, book), book).next
    if proposed and (not words or _fits(proposed.inspection, words, document, book)):
        return proposed.inspection, words
    if not words:
        raise click.UsageError("No inspection is proposed in this case; name the one that was done.")
    if proposed and not choose(first, book.inspections).id:
        forms = reading_forms(book.inspections[proposed.inspection])
        tell(f"Proposed is {proposed.inspection}, of which may be recorded: {forms}.")
    return id_of("inspection", first, book.inspections), words[1:]


def _fits(name: str, words: tuple[str, ...], document: Mapping[str, Any], book: Book) -> bool:
    """Say whether some words can be a reading of an inspection."""
    if words[0] in SET_ASIDE:
        return len(words) == 1
    try:
        _tried(name, words, document, book)
    except BadInputError:
        return False
    return True


def _tried(name: str, words: tuple[str, ...], document: Mapping[str, Any], book: Book) -> None:
    """Read a reading without keeping it.

    Raises:
        BadInputError: it cannot be used.
    """
    body = body_of(name, words, "", (), book)
    tried = case_of({**document, "results": {}, "readings": [body]}, book)
    judged(tried.taken[0], tried, book)


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
            words = tuple(line("What it gave", lambda: answers).split())
        except BackError:
            words = ()
        if not words:
            raise click.Abort
        if words[0] in SET_ASIDE and len(words) == 1:
            return words
        try:
            _tried(name, words, document, book)
        except BadInputError as error:
            for problem in error.problems:
                tell(f"  {problem}")
        else:
            return words
