"""What another book would have said, beside what was advised: verdicts, causes and the rules that differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proveout.audit.replay import Shelf
from proveout.model.book import Book
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record.event import Event
from proveout.record.state import merged
from proveout.trial.compare import Answer, answer, differing_rules

#: A confidence that moved by less is not told.
LEAST = 0.005


@dataclass(frozen=True, slots=True)
class Against:
    """One advice beside what the other book says of the same facts.

    Attributes:
        event: the advice.
        old, new: the answer of its own book and of the other.
        moved: causes whose confidence moved, the farthest first, with both confidences.
        rules: rules that stand in one of the ledgers and differ between the books, with how.
        book, other: the two books.
        problem: why it cannot be said, or "".
    """

    event: Event
    old: Answer
    new: Answer
    moved: tuple[tuple[str, float, float], ...]
    rules: tuple[tuple[str, str], ...]
    book: Book
    other: Book
    problem: str = ""

    @property
    def same(self) -> bool:
        """Whether the other book says the same."""
        return not (self.problem or self.moved) and self.verdicts_same and self.old.next == self.new.next

    @property
    def verdicts_same(self) -> bool:
        """Whether the verdict is the same."""
        return self.old.verdict == self.new.verdict


def against(events: Sequence[Event], shelf: Shelf, other: Book) -> tuple[Against, ...]:
    """Return for each advice of a case what another book would have said."""
    found = []
    differing: dict[str, dict[str, str]] = {}
    for event in (one for one in events if one.kind == "advice"):
        try:
            book = shelf.book_for(event)
        except (BadInputError, DamagedRecordError) as error:
            found.append(Against(event, Answer(), Answer(), (), (), other, other, str(error.problems[0])))
            continue
        differs = differing.setdefault(book.digest, differing_rules(book, other))
        document = merged(events, event.n - 1)
        found.append(_beside(event, answer(document, book), answer(document, other), differs, book, other))
    return tuple(found)


def _beside(
    event: Event, old: Answer, new: Answer, differs: dict[str, str], book: Book, other: Book
) -> Against:
    moves = (
        (cause, old.confidence.get(cause, 0.0), new.confidence.get(cause, 0.0))
        for cause in dict.fromkeys((*old.confidence, *new.confidence))
    )
    moved = sorted(
        (move for move in moves if abs(move[2] - move[1]) >= LEAST),
        key=lambda move: (-abs(move[2] - move[1]), move[0]),
    )
    spoke = sorted((old.rules | new.rules) & differs.keys())
    rules = tuple((name, differs[name]) for name in spoke)
    return Against(event, old, new, tuple(moved), rules, book, other, old.wrong or new.wrong)
