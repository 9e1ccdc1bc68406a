"""The rules of one topic, which is a rule file."""

from __future__ import annotations

from pathlib import PurePath

from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.model.rule import Rule
from proveout.text.near import did_you_mean


def rules_of(topic: str, book: Book) -> list[Rule]:
    """Return the rules and rows that stand in a file, by its path or the end of it.

    Raises:
        BadInputError: no rule stands in such a file, or several files end so.
    """
    wanted = PurePath(topic).parts
    files = sorted({rule.place.file for rule in book.rules.values()})
    meant = [file for file in files if wanted and PurePath(file).parts[-len(wanted) :] == wanted]
    if len(meant) == 1:
        return [rule for rule in book.rules.values() if rule.place.file == meant[0]]
    saw = f"{topic!r}, " + (f"as {len(meant)} files end: {', '.join(meant[:4])}" if meant else "no such file")
    raise BadInputError(Problem(NOWHERE, "no-topic", saw, "a file with rules", did_you_mean(topic, files)))
