"""Tries examples and cases on a book and counts what they reach, on all cores."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from msgspec import Struct

from proveout.app.comparing import sample
from proveout.app.working import BookKey, Watch, held, hold, unseen, work
from proveout.model.book import Book
from proveout.spread.order import Lost
from proveout.trial.coverage import Reached, nothing, reach_of_case, reach_of_examples

#: Rules whose examples are tried in one piece of work.
TOGETHER = 50


class Piece(Struct, frozen=True):
    """One piece of work: a case, or some rules whose examples are tried."""

    book: BookKey
    case: Mapping[str, Any] | None = None
    rules: tuple[str, ...] = ()


def covered(
    book: Book,
    layers: tuple[Path, ...],
    directories: Sequence[Path],
    draw: int,
    seed: int,
    jobs: int | None,
    watch: Watch = unseen,
) -> Reached:
    """Return what the examples of a book, the shipped cases, those of directories and drawn ones reach.

    Raises:
        BadInputError: a case cannot be read.
    """
    key = hold(book, layers)
    exampled = [rule.id for rule in book.rules.values() if rule.examples]
    pieces = [
        Piece(key, rules=tuple(exampled[at : at + TOGETHER])) for at in range(0, len(exampled), TOGETHER)
    ]
    pieces += [Piece(key, case=document) for document in sample(book, directories, draw, seed).values()]
    found = nothing()
    with closing(work(try_piece, pieces, jobs=jobs, length=len(pieces), watch=watch)) as answers:
        for answer in answers:
            if not isinstance(answer, Lost):
                found.add(answer)
    return found


def try_piece(piece: Piece) -> Reached:
    """Return what one piece of work reaches, in whichever process."""
    book = held(piece.book)
    if piece.case is None:
        return reach_of_examples(book, piece.rules)
    return reach_of_case(piece.case, book)
