"""Checks of the entries on driving on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.model.problem import Problem
from proveout.text.near import did_you_mean


def unknown_family(draft: Draft) -> Iterator[Problem]:
    """Refuse a family of which no code is."""
    known = {code.family for code in draft.words.codes.values()}
    for name, driving in draft.driving.items():
        for index, family in enumerate(driving.families):
            if family not in known and "codes" not in draft.raw.unread:
                place = draft.place("driving-on", name, "families", index)
                mend = did_you_mean(family, known) or "give the family of some code"
                yield Problem(place, "unknown-family", f"the family '{family}'", "a family of codes", mend)


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "unknown-family": Page(
        "What a family of codes means for driving on is asked of the codes of that family; one that no code "
        "has would never be asked.",
        "families: [evapp]",
        "families: [evap]",
    ),
}
