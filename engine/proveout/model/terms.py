"""What others have laid down for a vehicle: warranty terms and emissions-inspection programmes."""

from __future__ import annotations

from math import inf

from msgspec import Struct

from proveout.model.problem import NOWHERE, Place


class Warranty(Struct, frozen=True, array_like=True):
    """One warranty term, by which somebody else may pay for a part.

    Attributes:
        id, title: a short name and what it is called.
        years, km: it ends with the first of the two, counted from delivery; infinite where there is no such
            end.
        components: component ids of the book that it covers; every emission part where empty.
        first_model_year: oldest model year for which it holds; 0 for all.
        source: where it stands and how sure that is.
    """

    id: str
    title: str
    years: float = inf
    km: float = inf
    components: tuple[str, ...] = ()
    first_model_year: int = 0
    source: str = ""
    place: Place = NOWHERE
    layer: str = "book"


class Programme(Struct, frozen=True, array_like=True):
    """The on-board part of an emissions-inspection programme.

    Attributes:
        id, title: a short name and what it is called.
        first_year: oldest model year whose on-board system is inspected.
        unready: (model year from, how many monitors may be unready), ascending.
        only: monitors that alone may be unready; any where empty.
        permanent_fails: whether a permanent code alone fails it.
        source: where it stands and how sure that is.
    """

    id: str
    title: str
    first_year: int
    unready: tuple[tuple[int, int], ...]
    only: tuple[str, ...] = ()
    permanent_fails: bool = False
    source: str = ""
    place: Place = NOWHERE
    layer: str = "book"
