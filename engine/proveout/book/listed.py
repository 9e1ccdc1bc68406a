"""Files of the first form: a list of entries of one kind, which the file's name tells.

The shipped book has none; a shop's layers and the snapshots of the book with old advice have, and stay
readable. Their entries are in the shape that the book is built from (``topic``) as they stand.
"""

from __future__ import annotations

from pathlib import PurePosixPath

from proveout.book.files import KINDS
from proveout.model.problem import Problem
from proveout.text.near import did_you_mean, one_of
from proveout.text.node import Listing

#: Kinds that came with the second form.
LATER = ("groups", "routines", "safety-limits", "driving-on", "places")


def kind_of(file: str) -> str:
    """Return the kind that a file's name states, its last dotted part before ``.yaml``; "" where none."""
    kind = PurePosixPath(file).stem.rpartition(".")[2]
    return kind if kind in KINDS and kind not in LATER else ""


def nameless(root: Listing, file: str) -> Problem:
    """Return the complaint about a list in a file whose name does not say of what."""
    name = PurePosixPath(file).stem.rpartition(".")[2]
    mend = did_you_mean(name, KINDS) or "put the name of the section before it, such as 'causes:'"
    return Problem(root.place, "file-form", "a list", f"sections: {one_of(KINDS, 20)}", mend)
