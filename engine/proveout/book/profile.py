"""What holds for a shop: ``shop.yaml`` at the top of a layer, or a file of the same form of the user's own.

It is no rule and no part of the book: prices and tools go into a case as facts of that case, so that an
advice can be replayed when the shop has others.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import msgspec
from msgspec import Struct, field
from msgspec.structs import replace

from proveout.model.problem import BadInputError, Place, Problem
from proveout.text.compose import compose
from proveout.text.node import find, plain
from proveout.text.read import read_text
from proveout.text.schema import validate


class Profile(Struct, frozen=True):
    """What holds for a shop or a user; what is left out is None or empty.

    Attributes:
        layers: directories laid over the shipped rules, of a user's own file only.
        per_hour, refer_out, refer_proven, currency: as in the costs of a case.
        tools: ids of the tools at hand.
        part_prices: component id to what a new one costs.
        display: preference for units, or "".
        people: who works here.
        by: who works at this machine, of a user's own file only.
        sources: key to the place where it stands.
    """

    layers: tuple[str, ...] = ()
    per_hour: float | None = None
    refer_out: float | None = None
    refer_proven: float | None = None
    currency: str = ""
    tools: tuple[str, ...] = ()
    part_prices: Mapping[str, float] = field(default_factory=dict)
    display: str = ""
    people: tuple[str, ...] = ()
    by: str = ""
    sources: Mapping[str, Place] = field(default_factory=dict)


def read_profile(path: Path, *, of_layer: bool = True) -> Profile:
    """Read a profile; what is not there is an empty one.

    Args:
        path: the file.
        of_layer: it lies in a layer, where nothing may be said of this machine.

    Raises:
        BadInputError: it is not as ``shop.schema.json`` describes it.
    """
    if not path.exists():
        return Profile()
    node = compose(read_text(path), str(path))
    content = plain(node)
    if content is None:
        return Profile()
    problems = validate(node, "shop")
    if problems:
        raise BadInputError(*problems)
    for key in ("layers", "by"):
        if of_layer and key in content:
            expected, mend = "shop.yaml of a layer without it", "state it in your own standing.yaml"
            raise BadInputError(Problem(find(node, (key,)).place, "not-of-a-shop", key, expected, mend))
    places = {key: find(node, (key,)).place for key in content}
    return replace(msgspec.convert(content, Profile), sources=places)


def over(lower: Profile, upper: Profile) -> Profile:
    """Return one profile laid over another: single values of the upper go first, lists and prices add up."""
    single = ("per_hour", "refer_out", "refer_proven", "currency", "display", "by", "layers")
    kept = {
        name: getattr(upper if getattr(upper, name) not in (None, "", ()) else lower, name) for name in single
    }
    return Profile(
        **kept,
        tools=tuple(dict.fromkeys((*lower.tools, *upper.tools))),
        part_prices={**lower.part_prices, **upper.part_prices},
        people=tuple(dict.fromkeys((*lower.people, *upper.people))),
        sources={**lower.sources, **upper.sources},
    )
