"""Checks of warranty terms and inspection programmes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.problem import Problem
from proveout.readiness.inspection import PROGRAMMES
from proveout.readiness.warranty import FEDERAL


def built_in(draft: Draft) -> Iterator[Problem]:
    """Refuse an id that a term or programme of the program's own has: one of the two would not be seen."""
    for kind, taken in (("warranties", {term.id for term in FEDERAL}), ("programmes", set(PROGRAMMES))):
        for name, entry in draft.raw.of(kind).items():
            if name in taken:
                saw = f"the id '{name}', which comes with the program"
                yield Problem(
                    entry.node.key_place("id"), "duplicate-id", saw, "an id of its own", "rename it"
                )


def first_year(draft: Draft) -> Iterator[Problem]:
    """Refuse a programme that inspects model years for which it does not say how many may be unready."""
    for programme in draft.words.programmes.values():
        oldest = programme.unready[0][0]
        if oldest > programme.first_year:
            place = draft.place("programmes", programme.id, "unready")
            saw = f"figures from model year {oldest} on, but {programme.first_year} is inspected too"
            mend = f"add one from {programme.first_year}"
            yield Problem(place, "first-year", saw, "a figure for every model year inspected", mend)


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "duplicate-id": Page(
        "Two entries of one kind have the same id, or one that comes with the program is to be "
        "replaced, which cannot be.",
        "two causes with id: hose-cracked",
        "another id, or 'replaces: hose-cracked' in a layer above",
    ),
    "first-year": Page(
        "Years of an inspection programme rise from its first one.",
        "first_year: 1996, unready: [{from: 1990, at_most: 2}]",
        "unready: [{from: 1996, at_most: 2}]",
    ),
}
