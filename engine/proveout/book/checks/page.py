"""What there is to say about a check besides its complaint."""

from __future__ import annotations

from typing import NamedTuple


class Page(NamedTuple):
    """The page of a check.

    Attributes:
        why: what is wrong with it, and what it would do.
        bad: an example that is complained of.
        good: the same as it should be.
    """

    why: str
    bad: str = ""
    good: str = ""
