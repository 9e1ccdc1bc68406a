"""Driving on: what the facts of a case mean for whether the vehicle may still be driven."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from proveout.model.problem import NOWHERE, Place
from proveout.model.rule import When

#: The ordered scale, the most urgent first, each with what to do.
SCALE: Mapping[str, str] = {
    "stop": "do not drive on: stop where it is safe and have it towed",
    "to-a-garage": "drive gently and straight to a garage, no further",
    "soon": "it may be driven with care; have it seen to within days",
    "when-convenient": "it may be driven; see to it when convenient",
}


class Driving(Struct, frozen=True, array_like=True):
    """What certain facts mean for driving on.

    Attributes:
        id: of the entry, or of the row: what is observed, such as ``symptom:fuel-drips``.
        do: one of ``SCALE``, or "" where only the cautions are to be shown.
        because: the reason, in a sentence.
        source: where that comes from.
        when: the condition; empty for an entry that goes by families of codes alone.
        families: of the codes of which one must be stored, where any are named.
        cautions: caution ids to be shown whatever else holds.
    """

    id: str
    do: str
    because: str
    source: str
    when: When = field(default_factory=When)
    families: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    place: Place = NOWHERE
    layer: str = "book"


class DrivingOn(Struct, frozen=True):
    """What a case means for driving on.

    Attributes:
        do: the most urgent of what holds, one of ``SCALE``; "" where the book says nothing.
        held: every entry that holds, the most urgent first, ties by id.
        settled: whether the repair is confirmed, so that nothing of it presses any more.
    """

    do: str = ""
    held: tuple[Driving, ...] = ()
    settled: bool = False
