"""A first look at a code by itself: what people ask a book most often."""

from __future__ import annotations

from msgspec import Struct


class FirstLook(Struct, frozen=True):
    """What a code means and what to do about it where nothing else is known of the vehicle.

    Attributes:
        meaning, does_not_mean: as the catalogue says.
        unweighed: why no rule weighs it, or "".
        usual: title and confidence of the likeliest causes, the likeliest first.
        first: title and id of the inspection to make first; None where none is worth its cost.
    """

    meaning: str
    does_not_mean: str
    usual: tuple[tuple[str, float], ...]
    first: tuple[str, str] | None
    unweighed: str = ""
