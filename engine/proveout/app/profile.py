"""What holds for the shop and the user: layers, prices, tools, units, who works here."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from proveout.app.places import config_dir

if TYPE_CHECKING:
    from proveout.book.profile import Profile
    from proveout.model.book import Book

#: Name of the user's own file, below the directory of his configuration.
STANDING = "standing.yaml"
#: The environment variable that names who works, before the user's own file.
BY = "PROVEOUT_BY"
#: Stands for no layers at all, though the user's own file names some.
NO_LAYERS = "-"


def standing_file() -> Path:
    """Return where the user's own file lies, or would lie."""
    return config_dir() / STANDING


def layers_of(given: tuple[Path, ...]) -> tuple[Path, ...]:
    """Return the layers to use: those that were named, else those of the user's own file.

    Raises:
        BadInputError: that file cannot be used.
    """
    if given == (Path(NO_LAYERS),):
        return ()
    if given or not standing_file().exists():
        return given
    home = standing_file().parent
    return tuple(home / Path(name).expanduser() for name in _standing().layers)


def in_force(layers: tuple[Path, ...]) -> Profile:
    """Return what holds: that of each layer, a higher one first, and before them the user's own file.

    Raises:
        BadInputError: a file cannot be used.
    """
    from proveout.book.files import SHOP
    from proveout.book.profile import Profile, over, read_profile

    found = Profile()
    for layer in layers:
        found = over(found, read_profile(layer / SHOP))
    return over(found, _standing())


def _standing() -> Profile:
    from proveout.book.profile import read_profile

    return read_profile(standing_file(), of_layer=False)


def display_of() -> str:
    """Return the units that readings are shown in where nothing else says so."""
    if not standing_file().exists():
        return "as-written"
    return in_force(layers_of(())).display or "as-written"


def who() -> str:
    """Return who works here now, or "" where nothing says so.

    Raises:
        BadInputError: the shop names who works there, and it is none of them.
    """
    named = os.environ.get(BY, "").strip()
    if not named and not standing_file().exists():
        return ""
    found = in_force(layers_of(()))
    named = named or found.by
    if named and found.people and named not in found.people:
        from proveout.model.problem import BadInputError, Problem
        from proveout.text.near import did_you_mean, one_of

        expected = one_of(found.people)
        mend = did_you_mean(named, found.people) or f"set {BY}, or add the name under people"
        raise BadInputError(
            Problem(found.sources["people"], "unknown-person", f"'{named}' at work", expected, mend)
        )
    return named


def applied(document: Mapping[str, Any], profile: Profile, book: Book) -> dict[str, Any]:
    """Return an intake document with what holds for the shop where it says nothing itself.

    Raises:
        BadInputError: a tool or component is not in the book.
    """
    _check_ids(profile, book)
    costs: dict[str, Any] = {
        key: value
        for key in ("per_hour", "refer_out", "refer_proven", "currency")
        if (value := getattr(profile, key)) not in (None, "")
    }
    if profile.part_prices:
        costs["parts"] = {**profile.part_prices, **document.get("costs", {}).get("parts", {})}
    costs = {**costs, **{k: v for k, v in document.get("costs", {}).items() if k != "parts" or not costs}}
    found = dict(document)
    if costs:
        found["costs"] = costs
    if profile.tools:
        found["tools"] = list(dict.fromkeys((*document.get("tools", ()), *profile.tools)))
    return found


def _check_ids(profile: Profile, book: Book) -> None:
    from proveout.intake.document import unknown_id
    from proveout.model.problem import BadInputError

    problems = []
    for key, kind, names, known in (
        ("tools", "tool", profile.tools, book.words.tools),
        ("part_prices", "component", profile.part_prices, book.words.components),
    ):
        wrong = (name for name in names if name not in known)
        problems += [unknown_id(kind, name, known, profile.sources[key]) for name in wrong]
    if problems:
        raise BadInputError(*problems)
