"""What stands around an entry of the book, drawn as SVG and written as DOT."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from helpers_cli import proveout
from helpers_shipped import shipped_book
from helpers_weigh import a_book, code, concludes, finding, result, symptom, weighs
from proveout.book.around import CAUSE, around
from proveout.model.atom import Atom
from proveout.model.problem import BadInputError
from proveout.show.graph import graph_dot, graph_svg

#: Names in a chain: a code and a symptom lead to a finding, that to another, and that to a cause.
BOOK = a_book(
    concludes("a", "open", all_of=(code("P1"), symptom("smell")), none_of=(code("P2"),)),
    concludes("b", "wide", any_of=(finding("open"), result("look"))),
    weighs("c", finding("wide"), {"hose": 0.6, "valve": 0.1}, 0.001),
    weighs("d", result("look"), {"hose": 0.9}, 0.01),
    weighs("e", result("look"), {"hose": 0.95}, all_of=(symptom("wet"),)),
    weighs("f", result("else"), {"valve": 0.5}, 0.01),
)


def ends(entry: str, most: int = 20) -> set[tuple[str, str]]:
    return {(arrow.start.key, arrow.end.key) for arrow in around(BOOK, entry, most).arrows}


def test_all_that_leads_to_a_cause_and_nothing_else() -> None:
    assert ends("hose") == {
        ("wide", "hose"), ("look", "hose"), ("open", "wide"), ("look", "wide"),
        ("P1", "open"), ("smell", "open"), ("P2", "open"),
    }  # fmt: skip
    arrows = around(BOOK, "hose", 20).arrows
    assert {arrow.start.key for arrow in arrows if arrow.never} == {"P2"}
    look = next(arrow for arrow in arrows if arrow.end == Atom(CAUSE, "hose", "") and arrow.rule == "e")
    assert look.frequency == 0.95 and look.context, (
        "the strongest of two stands, and says that it has a context"
    )


def test_the_strongest_are_kept_and_the_others_counted() -> None:
    graph = around(BOOK, "hose", 1)
    assert [arrow.start.key for arrow in graph.arrows if arrow.frequency] == ["look"] and graph.left_out == 1


def test_everything_that_the_book_weighs_is_drawn_with_each_name() -> None:
    book = shipped_book()
    some = [*list(book.causes)[::150], *list(book.inspections)[::300], "P0442", "fuel-smell"]
    for entry in some:
        graph = around(book, entry, 10)
        texts = " ".join(ET.fromstring(graph_svg(book, graph)).itertext())
        dot = graph_dot(book, graph)
        assert len(re.findall(r'^  ".*?" -> ".*?" \[', dot, re.MULTILINE)) == len(graph.arrows)
        for arrow in graph.arrows:
            assert f'"{arrow.start}" -> "{arrow.end}"' in dot
            assert not arrow.frequency or f"{arrow.frequency:g}" in texts
        names = set(re.findall(r'^  "([^"]+)" \[label', dot, re.MULTILINE))
        assert names == {str(atom) for arrow in graph.arrows for atom in (arrow.start, arrow.end)}


def test_boxes_stay_within_the_drawing_and_apart() -> None:
    book = shipped_book()
    svg = ET.fromstring(graph_svg(book, around(book, "purge-valve-stuck-open", 25)))
    wide, high = map(float, svg.attrib["viewBox"].split()[2:])
    boxes = [
        tuple(float(rect.attrib[name]) for name in ("x", "y", "width", "height"))
        for rect in svg.iter("{http://www.w3.org/2000/svg}rect")
    ]
    assert len(boxes) > 20
    for n, (x, y, w, h) in enumerate(boxes):
        assert x >= 0 and x + w <= wide and y >= 0 and y + h <= high
        assert all(x != left or y + h <= top or top + tall <= y for left, top, _, tall in boxes[n + 1 :])


def test_what_cannot_be_drawn_is_refused() -> None:
    with pytest.raises(BadInputError, match="expected a cause, code"):
        around(shipped_book(), "multimeter", 5)


def test_from_the_command_line(tmp_path: Path) -> None:
    out = tmp_path / "purge.svg"
    assert proveout("rules", "graph", "fuel-smell", "--out", out, home=tmp_path).code == 0
    assert ET.parse(out).getroot().tag.endswith("svg")
    by_word = proveout("rules", "graph", "Smell of fuel", home=tmp_path)
    assert by_word.code == 0 and by_word.out == out.read_text()
    assert proveout("rules", "graph", "P0442", "--format", "dot", home=tmp_path).out.startswith("digraph ")
    assert proveout("rules", "graph", "multimeter", home=tmp_path).code == 3
