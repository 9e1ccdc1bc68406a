"""What is asked after a repair, so that the answers can show whether it held."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from proveout.model.book import Book
from proveout.readiness.held import COUNTED, kind_of
from proveout.record.closing import Confirmation
from proveout.record.event import Event
from proveout.record.state import merged


class Asked(Struct, frozen=True):
    """What is asked.

    Attributes:
        again: the inspections to be done again.
        counters: whether counters of misfires are asked for.
        gone: the symptoms of which it is asked whether they are gone; none where codes tell.
    """

    again: tuple[str, ...]
    counters: bool
    gone: tuple[str, ...]


def asked_after(events: Sequence[Event], found: Confirmation, book: Book) -> Asked:
    """Return what is asked after the repair of a case.

    Args:
        events: of the case.
        found: what is known of the repair.
        book: the rules.
    """
    document = merged(events)
    codes = [str(item["code"] if isinstance(item, Mapping) else item) for item in document.get("codes", ())]
    counted = any(kind_of(code, "") == COUNTED for code in codes)
    names = [name for name, _ in found.shown_by] or list(book.proved_by.get(found.cause, ()))
    return Asked(
        again=tuple(names),
        counters=counted,
        gone=() if codes else tuple(document.get("symptoms", ())),
    )


def known_monitors(book: Book) -> tuple[str, ...]:
    """Return the readiness monitors that any code of the book is set by."""
    return tuple(sorted({entry.monitor for entry in book.words.codes.values()} - {""}))
