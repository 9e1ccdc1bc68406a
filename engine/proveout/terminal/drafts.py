"""An intake broken off is kept beside its case file as a draft, and gone on with by the next one."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import click

from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.record import files
from proveout.terminal.questions import questions
from proveout.terminal.talk import Draft, converse, joined, line, tell

#: A case needs one of these to begin with.
_ENOUGH = ("codes", "symptoms", "said")


def draft_of(case: Path) -> Path:
    """Return the file that holds the draft of a case."""
    return case.with_name(f"{case.name}.draft")


@contextmanager
def asked(case: Path, book: Book) -> Iterator[Mapping[str, Any]]:
    """Ask for an intake and give it; the draft goes once it was kept.

    Raises:
        click.exceptions.Exit: it was broken off; what was answered is kept.
    """
    path = draft_of(case)
    try:
        yield _conversation(path, book)
    except (click.Abort, KeyboardInterrupt):
        kept = f"What you answered is kept: proveout intake {case} goes on with it."
        tell(f"\nStopped. {kept if path.exists() else 'Nothing was answered.'}")
        raise click.exceptions.Exit(130) from None
    except BadInputError:
        tell(f"What you answered is kept as a draft: proveout intake {case} goes on with it.")
        raise
    with suppress(OSError):
        path.unlink(missing_ok=True)


def _conversation(path: Path, book: Book) -> dict[str, Any]:
    tell("Enter skips a question, ? lists the answers, back goes back, Ctrl-C stops and keeps a draft.")
    draft = _taken_up(path)
    while True:
        converse(questions(book), draft, lambda now: _save(path, now))
        document = joined(draft.parts.values())
        if any(document.get(key) for key in _ENOUGH):
            return document
        tell("A case needs at least a code, or something that you notice.")
        draft.place = 0


def _taken_up(path: Path) -> Draft:
    """Return the draft that was left, if it is wanted."""
    try:
        kept = json.loads(files.read(path))
        draft = Draft(int(kept["place"]), {str(key): dict(part) for key, part in kept["parts"].items()})
    except (BadInputError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return Draft()
    answer = line(
        "An intake was broken off here. Go on with it? (Enter: yes, new: begin anew)", lambda: ("new",)
    )
    return Draft() if answer.casefold().startswith("n") else draft


#: How a draft begins; what stands at its place and begins otherwise is left alone.
_BEGINS = b'{\n "place"'


def _save(path: Path, draft: Draft) -> None:
    """Keep a draft; where that cannot be, the intake itself will say so."""
    with suppress(BadInputError, OSError):
        data = json.dumps({"place": draft.place, "parts": draft.parts}, indent=1).encode()
        files.replace(path, data, _BEGINS)
