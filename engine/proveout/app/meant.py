"""Which inspection and which reading is meant by what was typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from proveout.app.naming import inspection_of
from proveout.app.recording import reading_of
from proveout.intake import answers
from proveout.intake.document import case_of
from proveout.intake.forms import reading_forms
from proveout.intake.readings import judged
from proveout.intake.resolve import called, choose
from proveout.model.book import Book
from proveout.model.case import SET_ASIDE
from proveout.model.problem import BadInputError, WrongUsageError
from proveout.plan.advice import advise


def meant(
    words: tuple[str, ...], document: Mapping[str, Any], book: Book, tell: Callable[[str], None]
) -> tuple[str, tuple[str, ...]]:
    """Return the inspection that is meant and the words of its reading.

    An inspection is named by its id, its title or a word for it, or how one begins; without a name it is
    the one proposed, where the words can be a reading of it. What may be recorded of the one proposed is told
    where the words are no reading of it and name nothing.

    Raises:
        BadInputError: the first word names nothing.
        WrongUsageError: no inspection is named, and none proposed.
    """
    first = words[0] if words else ""
    for length in range(len(words), 0, -1):
        name = _named(" ".join(words[:length]), book)
        if name:
            return name, words[length:]
    proposed = advise(case_of(document, book), book).next
    if proposed and (not words or _fits(proposed.inspection, words, document, book)):
        return proposed.inspection, words
    if not words:
        raise WrongUsageError("No inspection is proposed in this case; name the one that was done.")
    if proposed and not choose(first, book.inspections).id:
        entry = book.inspections[proposed.inspection]
        forms = reading_forms(entry)
        tell(f"Proposed is “{entry.title}” ({entry.id}), of which may be recorded: {forms}.")
    return inspection_of(first, book), words[1:]


def _named(given: str, book: Book) -> str:
    """Return the inspection of which a text is the id, title or a word; "" where there is not just one."""
    found = called(book.former.get(f"inspection {given}", given), book.inspections)
    return found[0] if len(found) == 1 else ""


def _fits(name: str, words: tuple[str, ...], document: Mapping[str, Any], book: Book) -> bool:
    """Say whether some words can be a reading of an inspection."""
    if answers.meant(words, book.inspections[name])[0] in SET_ASIDE:
        return True
    try:
        tried(name, words, document, book)
    except BadInputError:
        return False
    return True


def tried(name: str, words: tuple[str, ...], document: Mapping[str, Any], book: Book) -> None:
    """Read a reading without keeping it.

    Raises:
        BadInputError: it cannot be used.
    """
    reading = reading_of(name, words, "", (), book)
    tried = case_of({**document, "results": {}, "readings": [reading.kept()]}, book)
    judged(tried.taken[0], tried, book)
