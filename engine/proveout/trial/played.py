"""A simulated case as it ended, and many of them summed up by family."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from msgspec import Struct


class Played(Struct, frozen=True, forbid_unknown_fields=True):
    """One simulated case.

    Attributes:
        code: what it began with.
        family: of that code.
        truth: causes present, sorted; empty where it is none of the book's.
        named: cause of the first verdict that was not "inspect"; "" where the case was handed over.
        kind: of that verdict.
        leading: the cause that it gave as the likeliest, named or not; "" where it gave none.
        ends: whether what mends the cause named ends one that is present.
        bought: causes whose parts were bought as proven, at any time, though nothing present needed them.
        inspections: made in all.
        cost: of following the planner to the end.
        parts: cost of replacing parts by likelihood to the end.
        remedies: cost of doing any remedy by likelihood to the end, as if none needed finding first.
    """

    code: str
    family: str
    truth: tuple[str, ...]
    named: str
    kind: str
    leading: str
    ends: bool
    bought: tuple[str, ...]
    inspections: int
    cost: float
    parts: float
    remedies: float

    @property
    def right(self) -> bool:
        """Whether the verdict named a cause that is present, or none where none of the book's is."""
        return self.named in (self.truth or ("",))

    @property
    def akin(self) -> bool:
        """Whether the verdict named another fault of the part at fault, which the same new part ends."""
        return self.ends and not self.right

    @property
    def suspected(self) -> bool:
        """Whether the case was handed over with a cause that is present named as the likeliest, unproven."""
        return bool(self.truth) and not self.named and self.leading in self.truth


@dataclass(frozen=True, slots=True)
class FamilyRow:
    """The simulated cases of one family: shares of all, and mean costs.

    ``right`` named a cause that is present, or none where none of the book's is; ``wrong`` named one that is
    not, ``akin`` of these another fault of the part at fault; ``suspected`` handed over with one that is
    present as the likeliest; ``referred`` handed over otherwise. In ``bought``, whatever the first verdict,
    a part was bought as proven that nothing present needed. ``inspections`` is their mean number, ``most``
    that which nine in ten cases do not pass.
    """

    family: str
    cases: int
    right: float
    wrong: float
    akin: float
    suspected: float
    referred: float
    bought: float
    cost: float
    parts: float
    remedies: float
    inspections: float
    most: int


def by_family(played: Iterable[Played]) -> tuple[FamilyRow, ...]:
    """Sum up by family, the one that is least often right first, ties by name."""
    families: dict[str, list[Played]] = {}
    for one in played:
        families.setdefault(one.family, []).append(one)
    rows = [_row(name, families[name]) for name in sorted(families)]
    return tuple(sorted(rows, key=lambda row: row.right))


def overall(played: Sequence[Played]) -> FamilyRow:
    """Sum up over all families, under the name "all"."""
    return _row("all", played)


def _row(family: str, played: Sequence[Played]) -> FamilyRow:
    def mean(values: Iterable[float]) -> float:
        return sum(values) / len(played)

    right = mean(one.right for one in played)
    suspected = mean(one.suspected for one in played)
    referred = mean(bool(one.truth) and not one.named and not one.suspected for one in played)
    return FamilyRow(
        family,
        len(played),
        right,
        mean(bool(one.named) and not one.right for one in played),
        mean(one.akin for one in played),
        suspected,
        referred,
        mean(bool(one.bought) for one in played),
        mean(one.cost for one in played),
        mean(one.parts for one in played),
        mean(one.remedies for one in played),
        mean(one.inspections for one in played),
        sorted(one.inspections for one in played)[math.ceil(0.9 * len(played)) - 1],
    )
