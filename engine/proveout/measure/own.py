"""The vehicle's own figures: a stated specification takes the place of the book's generic limit."""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from proveout.measure.display import Scale, scale_of
from proveout.measure.reading import read
from proveout.measure.typed import plain
from proveout.model.preference import AS_WRITTEN
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.model.specs import Band, ReadingSpec


class Replaced(Struct, frozen=True):
    """A spec with the vehicle's own limits, and what was replaced, for the record.

    Attributes:
        spec: the spec to judge by; its ``limits_source`` is the reference.
        generic: the book's spec.
        moved: (generic band, own band) for each that differs; None where the band is gone.
    """

    spec: ReadingSpec
    generic: ReadingSpec
    moved: tuple[tuple[Band, Band | None], ...]

    def changes(self, display: str = AS_WRITTEN) -> tuple[tuple[str, str, str], ...]:
        """Return (result id, generic limits, own limits) as text, in units by preference."""
        scale = scale_of(self.generic, display)
        return tuple(
            (old.result, limits_text(old, scale), limits_text(new, scale) if new else "none")
            for old, new in self.moved
        )


def read_limits(
    text: str, quantity: str, unit: str, relative_to: str = "", place: Place = NOWHERE
) -> tuple[float | None, float | None]:
    """Read limits such as ``2.3..2.7 V``, ``..-40`` or ``4.8 V..`` in the unit asked for; open ends are None.

    Raises:
        BadInputError: they cannot be read, or have no room between them.
    """
    low, mark, high = plain(text).partition("..")
    if mark and not low.strip():
        return None, _end(high, quantity, unit, relative_to, place)
    if mark and not high.strip():
        return _end(low, quantity, unit, relative_to, place), None
    both = read(text, quantity, unit, relative_to, place)
    ends = both.low, both.high
    if both.one_sided or not all(map(math.isfinite, ends)):
        raise _unusable(text, place, "write an open end with two dots, such as ..5 V or 5 V..")
    if mark and _is_reversed(high, ends, quantity, unit, relative_to, place):
        raise _unusable(text, place, "give the lower end first")
    if ends[0] >= ends[1]:
        raise _unusable(text, place, "give both ends of the range that is right, such as 13.8..14.8 V")
    return ends


def _end(text: str, quantity: str, unit: str, relative_to: str, place: Place) -> float:
    """Read the one end of limits that is not open."""
    found = read(text, quantity, unit, relative_to, place)
    if found.one_sided or found.low != found.high or not math.isfinite(found.low):
        raise _unusable(text, place, "give one number at each end")
    return found.low


def _is_reversed(
    high: str,
    ends: tuple[float, float],
    quantity: str,
    unit: str,
    relative_to: str,
    place: Place,
) -> bool:
    """Say whether the higher end was typed first; an end without a unit has that of the other."""
    try:
        typed = read(high, quantity, unit, relative_to, place).low
    except BadInputError:
        return False  # what is no number by itself, such as the half of a tolerance, has no order
    return bool(ends[0] < ends[1] and math.isclose(typed, ends[0], rel_tol=1e-9, abs_tol=1e-12))


def _unusable(text: str, place: Place, mend: str) -> BadInputError:
    return BadInputError(Problem(place, "unusable-limits", f"the limits `{text}`", "a range of values", mend))


def with_own_limits(
    spec: ReadingSpec, limits: Mapping[str, str], reference: str, place: Place = NOWHERE
) -> Replaced:
    """Put stated limits in the place of the generic ones.

    Where a neighbouring band ended at the generic limit, it ends at the new one.

    Args:
        spec: the book's spec.
        limits: result id to limits as typed, such as ``{"in-range": "12..17 ohm"}``.
        reference: where they come from; it must be named.
        place: where they stand.

    Raises:
        BadInputError: no reference, an unknown result, or limits that cannot be read.
    """
    if not reference.strip():
        raise BadInputError(Problem(
            place, "missing-reference", "own limits without a reference", "where the figures come from",
            "name the maker's document and page",
        ))  # fmt: skip
    names = [band.result for band in spec.bands]
    for result in limits:
        if result not in names:
            expected = f"one of {', '.join(names)}"
            raise BadInputError(Problem(place, "unknown-id", f"no limits for `{result}`", expected))
    own = {
        result: read_limits(text, spec.quantity, spec.unit, spec.relative_to, place)
        for result, text in limits.items()
    }
    for result, ends in own.items():
        _refuse_impossible(limits[result], ends, spec, place)
    pairs = _moved(spec.bands, own, place)
    moved = tuple(
        (old, new) for old, new in pairs if new is None or (old.low, old.high) != (new.low, new.high)
    )
    bands = tuple(new for _, new in pairs if new is not None)
    return Replaced(replace(spec, bands=bands, limits_source=reference), spec, moved)


def _refuse_impossible(
    text: str, ends: tuple[float | None, float | None], spec: ReadingSpec, place: Place
) -> None:
    """Refuse limits that no reading can meet: the unit or the figure is not what was meant."""
    (low, high), (least, most) = ends, spec.possible
    if (low is not None and most is not None and low > most) or (
        high is not None and least is not None and high < least
    ):
        shown = " to ".join("any" if end is None else f"{end:g}" for end in spec.possible)
        expected = f"limits within {shown} {spec.unit}"
        saw = f"the limits `{text}`"
        raise BadInputError(Problem(place, "unusable-limits", saw, expected, "check the figure and its unit"))


def _moved(
    bands: tuple[Band, ...], own: Mapping[str, tuple[float | None, float | None]], place: Place
) -> list[tuple[Band, Band | None]]:
    """Pair each band with what replaces it; of several of one result, the first takes the new limits."""
    first = {band.result: band for band in reversed(bands) if band.result in own}
    edges = {
        old: new
        for band in first.values()
        for old, new in zip((band.low, band.high), own[band.result], strict=True)
        if old is not None
    }

    def moved(band: Band) -> Band | None:
        if band.result in own:
            low, high = own[band.result]
            return replace(band, low=low, high=high, place=place) if band is first[band.result] else None
        low = edges.get(band.low, band.low) if band.low is not None else None
        high = edges.get(band.high, band.high) if band.high is not None else None
        return replace(band, low=low, high=high)

    return [(band, moved(band)) for band in bands]


def limits_text(band: Band, scale: Scale) -> str:
    """Return limits in the book's form, such as ``2.3..2.7 V``, ``..-40 kPa`` or ``otherwise``."""
    if band.low is None and band.high is None:
        return "otherwise"
    low = "" if band.low is None else scale.number(band.low)
    high = "" if band.high is None else scale.number(band.high)
    return f"{low}..{high} {scale.symbol}".rstrip()
