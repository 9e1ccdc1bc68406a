"""Pictures show what the inspection says, and nothing where that is in doubt."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections import Counter
from pathlib import Path

import pytest

from helpers_book import write_book
from helpers_shipped import shipped_book
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.model.whereabouts import ZONES
from proveout.show.car import DIESEL, PETROL, Where, where_of, where_scene
from proveout.show.leads import leads_of
from proveout.show.picture import CIRCUIT, EXCHANGE, PAIR, SUBSTITUTE, Picture, picture_of
from proveout.show.pictures import CURVE, LEADS, WHERE, Drawn, pictures_of
from proveout.show.scene import MARKED, Box, Line, Scene, Spot
from proveout.show.scene import WIDE as SCENE_WIDE
from proveout.text.schema import schema_files

_SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def book() -> Book:
    return shipped_book()


@pytest.fixture(scope="module")
def leads(book: Book) -> dict[str, Picture]:
    found = {key: picture_of(book, entry) for key, entry in book.inspections.items()}
    return {key: picture for key, picture in found.items() if picture is not None}


@pytest.fixture(scope="module")
def drawn(book: Book) -> dict[str, tuple[Drawn, ...]]:
    return {key: pictures_of(book, entry) for key, entry in book.inspections.items()}


def test_every_inspection_with_a_reading_has_its_pictures(
    book: Book, drawn: dict[str, tuple[Drawn, ...]]
) -> None:
    """Where it is for all; where the leads or the tool go for all that have one."""
    read = {key: entry for key, entry in book.inspections.items() if entry.reading}
    assert len(read) >= 180
    assert [key for key in read if WHERE not in {one.of for one in drawn[key]}] == []
    bare = [key for key in read if LEADS not in {one.of for one in drawn[key]}]
    wanted = [key for key in bare if read[key].tools or read[key].leads]
    assert wanted == [], "say in `leads` where each lead or the tool goes, as show/leads.py reads it"
    assert len(bare) <= 1, bare


def test_every_form_is_met_in_the_book(leads: dict[str, Picture]) -> None:
    forms = Counter(picture.form for picture in leads.values())
    assert len(forms) == 6 and min(forms.values()) >= 2, forms


def test_the_leads_are_where_the_words_of_the_inspection_put_them(
    book: Book, leads: dict[str, Picture]
) -> None:
    """Each place is called by a stretch of the inspection's own words."""
    for key, picture in leads.items():
        words = " ".join(book.inspections[key].leads.split())
        if picture.form not in (CIRCUIT, PAIR):
            continue
        for place in (picture.red, picture.black):
            said = place.removeprefix("one of the ").removeprefix("one ")
            assert place == "the other one" or all(word in words for word in said.split()), (key, place)
        if "red" in words.casefold() and "black" in words.casefold():
            assert picture.coloured, key


def test_a_circuit_is_drawn_as_the_state_has_the_plug(book: Book, leads: dict[str, Picture]) -> None:
    for key, picture in leads.items():
        state = book.inspections[key].state
        if picture.form == CIRCUIT:
            assert state is not None and bool(state.all_of("unplugged")) == picture.parted, key
            assert picture.wire in picture.red and picture.black_wire in picture.black, key
            joined = {how for _, how in state.probed} == {"back-probe"}
            assert joined != picture.parted, key


def test_no_picture_sets_ohms_on_a_live_circuit(book: Book, leads: dict[str, Picture]) -> None:
    """Common practice, no source: resistance is read with the key off."""
    for key, picture in leads.items():
        state = book.inspections[key].state
        if picture.meter == "ohms":
            assert state is not None and state.key != "on", key


def test_a_borrowed_supply_is_not_drawn_as_a_swap(book: Book, leads: dict[str, Picture]) -> None:
    """Bridging a wire changes no parts over; where the trouble may move, two parts change places."""
    swaps = {key for key, entry in book.inspections.items() if entry.kind == "swap"}
    kinds = {key: leads[key].form for key in swaps if key in leads}
    assert set(kinds.values()) == {EXCHANGE, SUBSTITUTE}
    assert kinds["coil-swap"] == EXCHANGE and kinds["main-relay-swap"] == SUBSTITUTE
    bridged = [key for key in swaps if "bridge" in book.inspections[key].title.casefold()]
    assert len(bridged) >= 3 and not set(bridged) & set(kinds)


@pytest.mark.parametrize(
    ("words", "red", "black"),
    [
        (
            "Meter on DC volts: black on bare metal, red pin in the back of the feed wire.",
            "feed wire",
            "bare metal",
        ),
        ("Ohms: one lead on the lug, one on the shell.", "lug", "shell"),
        ("One lead at each end of the wire.", "one end of the wire", "the other one"),
        (
            "Plug off, both leads on the injector's own two pins.",
            "one of the injector's own pins",
            "the other one",
        ),
        ("Meter on ohms: load side of the socket to bare metal.", "load side of the socket", "bare metal"),
    ],
)
def test_words_are_understood(words: str, red: str, black: str) -> None:
    found = leads_of(words)
    assert found is not None and (found.red, found.black) == (red, black)


@pytest.mark.parametrize("words", ["", "None; computed from the recording.", "Red on the signal wire."])
def test_half_said_is_not_drawn(words: str) -> None:
    assert leads_of(words) is None


def test_each_picture_is_sound_svg_and_text_that_a_narrow_terminal_holds(
    drawn: dict[str, tuple[Drawn, ...]],
) -> None:
    for one in {one for pictures in drawn.values() for one in pictures}:
        root = ET.fromstring(one.svg)
        names = {element.tag.removeprefix(_SVG) for element in root.iter()}
        assert names <= {"svg", "title", "rect", "text", "path", "circle", "polygon"}
        assert root.findtext(f"{_SVG}title") == one.words
        assert float(root.attrib["viewBox"].split()[2]) == 342  # readable on a phone of 360 px
        assert one.lines and max(map(len, one.lines)) <= SCENE_WIDE, one.words
        assert "\n".join(one.lines).isascii() or one.of == CURVE  # any encoding but the sign for ohms


def test_nothing_is_drawn_outside_its_picture_nor_a_text_cut_by_its_box(book: Book) -> None:
    from proveout.show.picture_scene import scene_of

    scenes = [scene_of(one) for e in book.inspections.values() if (one := picture_of(book, e))]
    scenes += [where_scene(Where((zone,), fuel)) for zone in ZONES for fuel in (PETROL, DIESEL)]
    for scene in scenes:
        for item in scene.items:
            assert all(0 <= x < SCENE_WIDE and 0 <= y < scene.high for x, y in corners(item)), item
            if isinstance(item, Box):
                assert all(len(line) <= item.wide - 2 for line in item.text), item
                assert len(item.text) <= max(item.high - 2, 0), item


def corners(item: object) -> list[tuple[int, int]]:
    match item:
        case Box():
            return [(item.x, item.y), (item.right, item.bottom)]
        case Line():
            return list(item.points)
        case Spot():
            return [(item.x, item.y)]
    return []


def test_every_zone_can_be_marked_and_is_known_to_the_schema() -> None:
    places = schema_files("places.schema.json")["places.schema.json"]
    known = places["$defs"]["entry"]["properties"]["zone"]["anyOf"]
    assert [one["const"] for one in known] == list(ZONES)
    for zone in ZONES:
        for fuel in (PETROL, DIESEL):
            assert len(marked(where_scene(Where((zone,), fuel)))) == 1, zone
            assert len(marked(where_scene(Where((zone,), fuel), whole=False))) == 1, zone


def marked(scene: Scene) -> list[Box]:
    return [item for item in scene.items if isinstance(item, Box) and item.how == MARKED]


def test_a_diesel_has_an_outline_of_its_own(book: Book) -> None:
    entry = book.inspections["injector-coil-resistance"]
    petrol, diesel = where_of(book, entry), where_of(book, entry, ("diesel",))
    assert petrol is not None and diesel is not None
    words = {text for item in where_scene(diesel).items if isinstance(item, Box) for text in item.text}
    assert "glow plugs" in words and "petrol" not in diesel.words()
    assert "plugs, coils" in {t for i in where_scene(petrol).items if isinstance(i, Box) for t in i.text}


@pytest.mark.parametrize(
    ("inspection", "zones"),
    [
        ("vent-valve-current", ("rear-floor",)),
        ("battery-rested-voltage", ("battery",)),
        ("fuel-pump-volts-running", ("tank",)),
        ("map-five-volts", ("intake-manifold",)),
        ("cap-seal-look", ("filler",)),
    ],
)
def test_places_are_where_the_trade_looks_for_them(
    book: Book, inspection: str, zones: tuple[str, ...]
) -> None:
    """Common practice, no source: the vent valve sits by the canister at the tank, and so on."""
    where = where_of(book, book.inspections[inspection])
    assert where is not None and where.zones == zones


def test_every_component_that_an_inspection_reads_of_has_a_place(book: Book) -> None:
    placed = {name for spot in book.words.places.values() for name in spot.components}
    read = {
        book.causes[cause].component
        for entry in book.inspections.values()
        if entry.reading
        for cause in entry.proves
    }
    everywhere = {"readiness-monitors", "vapour-system", "standing-users"}
    assert sorted(read - placed - everywhere) == [], "name where they are in rules/common/places.yaml"


def test_a_shop_places_its_own_parts(tmp_path: Path) -> None:
    base = write_book(tmp_path / "rules")
    own = tmp_path / "own"
    own.mkdir()
    (own / "places.yaml").write_text("places:\n  - {id: ours, zone: boot, components: [valve]}\n")
    laid = load_book((own,), base=base)
    spot = laid.words.places["ours"]
    assert (spot.zone, spot.components, spot.layer) == ("boot", ("valve",), "own")
    entry = next(
        e for e in laid.inspections.values() if any(laid.causes[c].component == "valve" for c in e.proves)
    )
    where = where_of(laid, entry)
    assert where is not None and where.zones == ("boot",)


def test_an_expected_curve_is_drawn_from_the_limits_of_its_series(
    book: Book, drawn: dict[str, tuple[Drawn, ...]]
) -> None:
    series = {k: e.reading for k, e in book.inspections.items() if e.reading and e.reading.series}
    curves = {key: next((one for one in drawn[key] if one.of == CURVE), None) for key in series}
    assert len([curve for curve in curves.values() if curve]) >= 5
    for key, curve in curves.items():
        spec = series[key].series
        assert spec is not None
        assert bool(curve) == (spec.start is not None), key
        if curve and spec.start:
            root = ET.fromstring(curve.svg)
            assert spec.direction in curve.words and f"{spec.start[0]:g}" in curve.words.replace(",", "")
            bands = [e for e in root.iter() if e.tag.endswith("polygon")]
            assert bool(bands) == (spec.law == "line"), key
            assert any("#" in line for line in curve.lines)


def test_the_band_of_a_curve_rises_or_falls_as_its_series_must(
    book: Book, drawn: dict[str, tuple[Drawn, ...]]
) -> None:
    """Both forms: the middle of the band moves the way the book says, in the picture and in the text."""
    for key, pictures in drawn.items():
        reading = book.inspections[key].reading
        curve = next((one for one in pictures if one.of == CURVE), None)
        if curve is None or reading is None or reading.series is None or reading.series.law != "line":
            continue
        points = next(e for e in ET.fromstring(curve.svg).iter() if e.tag.endswith("polygon")).attrib[
            "points"
        ]
        heights = [float(pair.split(",")[1]) for pair in points.split()]
        falls = sum(heights[2:]) > sum(heights[:2])  # SVG counts downwards
        assert falls == (reading.series.direction == "falls"), key
        rows = [row.partition("|")[2] for row in curve.lines if "|" in row]
        first = [n for n, row in enumerate(rows) if row[:1] == "#"]
        last = [n for n, row in enumerate(rows) if row[15:16] == "#"]
        assert (sum(last) / len(last) > sum(first) / len(first)) == falls, key
