"""What is seen after a defect was put right: the trouble stays away, or comes back.

It stays away nearly always where what was mended is all that was wrong. Anything else that is wrong, or
something that the book does not have, mostly comes back; but some faults come and go, and some codes need
longer to return. Both shares are from memory.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from proveout.model.atom import COMES_BACK, WATCH, Observable
from proveout.model.belief import CPT, Evidence
from proveout.model.book import Book
from proveout.model.case import Sheet

#: P(it comes back): where all that was wrong is mended, since a mending can fail; and otherwise.
MENDED_ALL, MENDED_NOT_ALL = 0.05, 0.75


def watched(book: Book, sheet: Sheet) -> list[Evidence]:
    """Return what was seen after each mending of a case as evidence."""
    seen = {o.observable: o for o in sheet.observations if o.observable.kind == WATCH}
    found: dict[Observable, Evidence] = {}
    mended: tuple[str, ...] = ()
    for one in sheet.mended:
        mended = tuple(sorted({*mended, one.cause}))
        observable = Observable(WATCH, one.cause)
        if observable in seen and one.cause in book.causes:
            cpt = CPT(observable, (COMES_BACK,), (MENDED_NOT_ALL,), {}, {}, mended)
            found[observable] = Evidence(cpt, seen[observable].states, seen[observable].said)
    return list(found.values())


def comes_back(cpt: CPT, column: Mapping[str, int], member: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return P(it comes back | h) for each set h; array (sets,).

    Args:
        cpt: of what was seen after a mending.
        column: of each cause in play, its column.
        member: bool array (sets, causes).
    """
    mended = np.zeros(member.shape[1], dtype=np.bool_)
    mended[[column[cause] for cause in cpt.mended if cause in column]] = True
    all_of_it = member.any(axis=1) & ~member[:, ~mended].any(axis=1)
    return np.where(all_of_it, MENDED_ALL, cpt.background[0])
