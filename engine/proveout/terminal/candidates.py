"""What a word may become: names of the book, case files, some words.

Only ``os`` is loaded here: whoever presses Tab waits for it.
"""

from __future__ import annotations

import os

from proveout.record.header import begins_as_case
from proveout.terminal.grammar import CASES, NAMES, NOTHING, PATH, WORDS

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from proveout.terminal.grammar import How

    #: ``plain``, ``file`` or ``dir``, the word, and what it means.
    Candidate = tuple[str, str, str]

#: Candidates shown at most; a shell asks before it shows so many.
MOST = 400


def candidates(
    how: How, typed: str, names: Callable[[str], Mapping[str, str] | None]
) -> list[Candidate] | None:
    """Return what a word may become, or None where that cannot be said.

    Args:
        how: the word is completed.
        typed: of it so far.
        names: gives the ids of a kind with their titles, or None where they are not at hand.
    """
    kind, *more = how
    if kind == NAMES:
        known = names(more[0])
        return None if known is None else _named(known, typed, within=len(more) > 1)
    if kind == CASES:
        return [("plain", name, "") for name in _case_files(typed)]
    if kind == WORDS:
        return [("plain", word, "") for word in more if word.startswith(typed)]
    if kind == PATH:
        return [(more[0], typed, "")]
    return [] if kind == NOTHING else None


def _named(known: Mapping[str, str], typed: str, *, within: bool) -> list[Candidate]:
    wanted = typed.casefold()
    found = [key for key in known if key.casefold().startswith(wanted)]
    if not found and within:
        found = [key for key in known if wanted in key]
    return [("plain", key, known[key]) for key in found[:MOST]]


def _case_files(typed: str) -> list[str]:
    """Return the case files and directories that what was typed may become."""
    parent, slash, begins = typed.rpartition("/")
    found = []
    try:
        entries = sorted(os.listdir(f"{parent}{slash}" or "."))  # noqa: PTH208  # without pathlib
    except OSError:
        return []
    for entry in entries:
        if not entry.startswith(begins) or (entry.startswith(".") and not begins):
            continue
        name = f"{parent}{slash}{entry}"
        try:
            if os.path.isdir(name):  # noqa: PTH112
                found.append(f"{name}/")
            elif name.endswith(".yaml") and begins_as_case(name):
                found.append(name)
        except OSError:
            continue
    return found[:MOST]
