"""Where in the car something is: a generic outline, of a petrol or a diesel car, with its zones marked."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TypeAlias

from msgspec import Struct

from proveout.model.book import Book
from proveout.model.entries import Inspection
from proveout.model.whereabouts import ZONES
from proveout.show.scene import BODY, HOSE, MARKED, THING, WHEEL, Box, Item, Label, Line, Scene

PETROL, DIESEL = "petrol", "diesel"
#: Most zones marked in one picture: what is spread further has no place.
_MOST = 4
#: Access that says nothing, where a component's place says more.
_BROAD = frozenset({"engine-bay", "dash", "rear-floor", "tank"})

Layout: TypeAlias = Mapping[str, tuple[int, int, int, int, str]]


class _Band(Struct, frozen=True):
    """A part of the outline as wide as the picture.

    Attributes:
        view: ``car`` or ``engine``.
        high: rows.
        zones: column, row in the band, width, height and text of each.
        flow: rows and columns where air or exhaust goes on from one zone to the next: from, to, row.
        caption: written in its first row, or "".
        body: whether the outline of the car goes round it.
    """

    view: str
    high: int
    zones: Layout
    flow: tuple[tuple[int, int, int], ...] = ()
    caption: str = ""
    body: bool = False


#: The car from above and from beneath, then what is round the engine: the way of the air, the engine, the way
#: of the exhaust, and what is electrical.
_BANDS = (
    _Band(
        "car",
        11,
        {
            "nose": (1, 2, 6, 7, "nose"),
            "engine-bay": (6, 2, 9, 7, "engine bay"),
            "dash": (14, 2, 7, 7, "dash"),
            "seats": (20, 2, 8, 7, "seats"),
            "boot": (27, 2, 10, 5, "boot"),
            "filler": (27, 6, 10, 3, "filler"),
        },
        body=True,
    ),
    _Band(
        "car",
        6,
        {
            "front-floor": (1, 1, 10, 4, "front axle"),
            "exhaust-tunnel": (10, 1, 10, 4, "exhaust, lines"),
            "tank": (19, 1, 9, 4, "tank"),
            "rear-floor": (27, 1, 10, 4, "rear axle"),
        },
        caption="beneath it, nose at the left:",
    ),
    _Band(
        "engine",
        6,
        {
            "air-filter": (0, 1, 8, 4, "air filter"),
            "air-meter": (9, 1, 7, 4, "air duct"),
            "throttle": (17, 1, 10, 4, "throttle"),
            "intake-manifold": (28, 1, 10, 4, "intake manifold"),
        },
        ((7, 9, 3), (15, 17, 3), (26, 28, 3)),
        "the way of the air:",
    ),
    _Band(
        "engine",
        11,
        {
            "injectors": (10, 1, 18, 3, "injectors, rail"),
            "plugs": (10, 3, 18, 3, "plugs, coils"),
            "cams": (10, 5, 18, 3, "cams and cover"),
            "block": (10, 7, 18, 3, "block, oil pan"),
            "belt-end": (0, 1, 9, 5, "belt end"),
            "coolant": (0, 5, 9, 5, "coolant"),
            "turbo": (29, 1, 9, 3, "turbo"),
            "recirculation": (29, 3, 9, 4, "exhaust return"),
            "gearbox-end": (29, 6, 9, 4, "gearbox end"),
        },
        caption="on the engine:",
    ),
    _Band(
        "engine",
        6,
        {
            "exhaust-manifold": (0, 1, 10, 4, "exhaust manifold"),
            "front-sensor": (11, 1, 8, 4, "front sensor"),
            "catalyst": (20, 1, 10, 4, "catalyst"),
            "rear-sensor": (30, 1, 8, 4, "rear sensor"),
        },
        ((9, 11, 3), (18, 20, 3)),
        "the way of the exhaust:",
    ),
    _Band(
        "engine",
        6,
        {
            "battery": (0, 1, 9, 4, "battery"),
            "fuses": (10, 1, 8, 4, "fuses, relays"),
            "module": (19, 1, 8, 4, "engine module"),
            "harness": (28, 1, 10, 4, "harness, grounds"),
        },
        caption="what is electrical:",
    ),
)
#: What is called otherwise round a diesel engine.
_DIESEL: Mapping[str, str] = {
    "throttle": "flap",
    "injectors": "injectors, pump",
    "plugs": "glow plugs",
    "front-sensor": "sensor ahead",
    "rear-sensor": "sensor behind",
}


class Where(Struct, frozen=True):
    """Where something is.

    Attributes:
        zones: of the outline, in its order.
        fuel: whose outline: ``petrol`` or ``diesel``.
    """

    zones: tuple[str, ...]
    fuel: str = PETROL

    def words(self) -> str:
        """Return the places in words."""
        said = "; ".join(ZONES[zone] for zone in self.zones)
        return f"Where: {said}. A generic {self.fuel} car; yours may have it elsewhere."


def where_of(book: Book, entry: Inspection, has: Collection[str] = ()) -> Where | None:
    """Return where an inspection is made: at what it can show, and at what must be opened for it.

    Args:
        book: says where things are.
        entry: the inspection.
        has: kinds of the vehicle, such as ``diesel``, where they are known.
    """
    shown = {book.causes[cause].component for cause in entry.proves if cause in book.causes}
    at, opened = set[str](), set[str]()
    for spot in book.words.places.values():
        if shown & set(spot.components):
            at.add(spot.zone)
        if set(entry.access) & set(spot.access):
            opened.add(spot.zone)
    if len(at) > _MOST:
        at = set()
    zones = at | (opened - _BROAD if at else opened)
    if not zones or len(zones) > _MOST:
        return None
    diesel = DIESEL in has or (DIESEL in entry.fits and PETROL not in has)
    return Where(tuple(zone for zone in ZONES if zone in zones), DIESEL if diesel else PETROL)


def where_scene(where: Where, *, whole: bool = True) -> Scene:
    """Return the outline with the places marked: of the car, of what is round the engine, or of both.

    Args:
        where: the places.
        whole: also show the parts of the outline in which nothing is marked.
    """
    marked = [band for band in _BANDS if any(zone in band.zones for zone in where.zones)]
    views = {band.view for band in marked}
    shown = [band for band in _BANDS if band.view in views] if whole else marked
    high, items = 0, list[Item]()
    for band in shown:
        items += _drawn(band, where, high)
        high += band.high
    return Scene(high, tuple(items))


def _drawn(band: _Band, where: Where, top: int) -> list[Item]:
    """Return one band, its first row at ``top``; what is marked lies on top."""
    names = _DIESEL if where.fuel == DIESEL else {}
    items: list[Item] = [Label(0, top, band.caption)] if band.caption else []
    if band.body:
        items += [Box(x, top + y, 6, 2, how=WHEEL) for y in (0, 9) for x in (5, 28)]
        items.append(Box(0, top + 1, 38, 9, how=BODY))
    items += [Line(((x, top + y), (to_x, top + y)), HOSE) for x, to_x, y in band.flow]
    for zone in sorted(band.zones, key=lambda name: name in where.zones):
        x, y, wide, high, text = band.zones[zone]
        words = names.get(zone, text)
        lines = (words,) if len(words) <= wide - 2 else tuple(words.split(" ", 1))
        items.append(Box(x, top + y, wide, high, lines, MARKED if zone in where.zones else THING))
    return items
