"""What is settled for the shop and the user, value by value, with where each comes from."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct

from proveout.app.profile import BY, layers_of, standing_file
from proveout.book.files import SHOP
from proveout.book.profile import Profile, read_profile
from proveout.model.case import Costs

#: Where a value comes from that nobody has settled.
BY_ITSELF = "the program itself"
_ENVIRONMENT = "the environment variable "
_PRICES = ("per_hour", "refer_out", "refer_proven", "currency")
_LISTS = ("tools", "people")


class Setting(Struct, frozen=True):
    """One value: its key, what it is, and where it comes from."""

    key: str
    value: str
    place: str


def settings(given: tuple[Path, ...]) -> list[Setting]:
    """Return every value in force, in the order of the keys of ``shop.yaml``.

    Args:
        given: layers that were named on the command line.

    Raises:
        BadInputError: a file cannot be used.
    """
    layers = layers_of(given)
    standing = read_profile(standing_file(), of_layer=False)
    profiles = [*(read_profile(layer / SHOP) for layer in layers), standing]
    where = "the command line" if given else str(standing.sources.get("layers", ""))
    found = [Setting("layers", str(layer), where) for layer in layers]
    found += [_single(key, profiles) for key in _PRICES]
    found += [setting for key in _LISTS for setting in _listed(key, profiles)]
    found += _part_prices(profiles)
    found.append(_from_environment("display", "PROVEOUT_DISPLAY", profiles, "as-written"))
    found.append(_from_environment("by", BY, profiles, ""))
    return [setting for setting in found if setting.value]


def _single(key: str, profiles: Sequence[Profile]) -> Setting:
    """Return a value of which the last profile that has one counts."""
    for profile in reversed(profiles):
        if (value := getattr(profile, key)) not in (None, ""):
            return Setting(key, _told(value), str(profile.sources[key]))
    return Setting(key, _told(getattr(Costs(), key, "")), BY_ITSELF)


def _told(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _listed(key: str, profiles: Sequence[Profile]) -> Iterator[Setting]:
    """Return the items of a list, to which every profile adds."""
    seen: set[str] = set()
    for profile in profiles:
        for item in getattr(profile, key):
            if item not in seen:
                seen.add(item)
                yield Setting(key, item, str(profile.sources[key]))


def _part_prices(profiles: Sequence[Profile]) -> Iterator[Setting]:
    """Return the price of each part, of which the last profile that states it counts."""
    for part in dict.fromkeys(part for profile in profiles for part in profile.part_prices):
        last = next(profile for profile in reversed(profiles) if part in profile.part_prices)
        yield Setting("part_prices", f"{part} {last.part_prices[part]:g}", str(last.sources["part_prices"]))


def _from_environment(key: str, name: str, profiles: Sequence[Profile], default: str) -> Setting:
    """Return a value that an environment variable goes before."""
    if named := os.environ.get(name, "").strip():
        return Setting(key, named, f"{_ENVIRONMENT}{name}")
    found = _single(key, profiles)
    return found if found.value else Setting(key, default, BY_ITSELF)
