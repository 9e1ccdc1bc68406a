"""All pictures of an inspection, each as SVG, as plain text and in words.

``pictures_of`` is what a page asks: it gives where in the car the place is, where the leads go or how a swap
is done, and the curve that is expected, as far as the book says so.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from proveout.model.book import Book
from proveout.model.entries import Inspection
from proveout.model.preference import AS_WRITTEN
from proveout.model.specs import ReadingSpec
from proveout.show.car import where_of, where_scene
from proveout.show.picture import picture_of
from proveout.show.picture_curve import curve_lines, curve_of, curve_svg
from proveout.show.picture_scene import scene_of
from proveout.show.scene_svg import scene_svg
from proveout.show.scene_text import scene_lines

#: What a picture is of.
WHERE, LEADS, CURVE = "where", "leads", "curve"


class Drawn(Struct, frozen=True):
    """One picture.

    Attributes:
        of: ``where``, ``leads`` or ``curve``.
        words: what it shows.
        svg: inline SVG without script or style.
        lines: the same in plain characters, none longer than 38.
    """

    of: str
    words: str
    svg: str
    lines: tuple[str, ...]


def pictures_of(
    book: Book,
    entry: Inspection,
    has: Iterable[str] = (),
    held: ReadingSpec | None = None,
    display: str = AS_WRITTEN,
) -> tuple[Drawn, ...]:
    """Return the pictures of an inspection, in the order in which they are needed.

    Args:
        book: says where things are.
        entry: the inspection.
        has: kinds of the vehicle, such as ``diesel``, where they are known.
        held: the limits that hold for the vehicle; those of the book where left out.
        display: preference for the units of the curve.
    """
    found: list[Drawn] = []
    if where := where_of(book, entry, frozenset(has)):
        lines = scene_lines(where_scene(where, whole=False))
        found.append(Drawn(WHERE, where.words(), scene_svg(where_scene(where), where.words()), tuple(lines)))
    if leads := drawn_leads(book, entry):
        found.append(leads)
    spec = held or entry.reading
    if spec and (curve := curve_of(spec, display)):
        found.append(Drawn(CURVE, curve.words, curve_svg(curve), tuple(curve_lines(curve))))
    return tuple(found)


def drawn_leads(book: Book, entry: Inspection) -> Drawn | None:
    """Return the picture of where leads, pump or reader go, or of a swap; None where the data settle none."""
    picture = picture_of(book, entry)
    if picture is None:
        return None
    scene, words = scene_of(picture), picture.words()
    return Drawn(LEADS, words, scene_svg(scene, words), tuple(scene_lines(scene)))
