"""The pages of the book as files: HTML from templates, what the search reads, a style sheet, a script."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from proveout.model.book import Book
from proveout.show.docs.leaf import Leaf, page_of
from proveout.show.docs.leaves import leaves
from proveout.show.docs.links import links_of
from proveout.show.docs.sources import source_leaves
from proveout.text.visible import visible

#: Kinds of entry in the order of the contents, with what they are called there.
KINDS = {
    "causes": "Causes",
    "codes": "Codes",
    "symptoms": "Symptoms",
    "circumstances": "Circumstances",
    "inspections": "Inspections",
    "findings": "Findings",
    "components": "Components",
    "tools": "Tools",
    "access": "Places to get at",
    "cautions": "Cautions",
    "recent-work": "Recent work",
    "driving-on": "Driving on",
    "own-figures": "Own figures",
    "warranties": "Warranties",
    "programmes": "Emissions inspections",
    "places": "Where things are",
    "glossary": "Glossary",
    "sources": "Sources",
}
#: How every page begins; nothing else is written over.
BEGINS = b'<!doctype html>\n<html lang="en" data-book>'
#: How the data of the search begin, the style sheet and the script.
_DATA = "var bookEntries = "
_ASSETS = {"book.css": b"/* The book as pages. */", "search.js": b"// Searches the book."}


def pages(book: Book) -> Iterator[tuple[str, bytes, bytes]]:
    """Return every file: its path, its content, and how an older one that it may take the place of begins."""
    links = links_of(book)
    found = [*leaves(book, links), *source_leaves(book, links)]
    by_kind = {kind: [leaf for leaf in found if leaf.kind == kind] for kind in KINDS}
    frame = _environment()
    common = {"layers": book.layers, "digest": book.digest[:16], "kinds": KINDS}
    for leaf in found:
        data = {**common, "leaf": leaf, "top": "../", "kind": KINDS[leaf.kind]}
        yield page_of(leaf.kind, leaf.id), _filled(frame, "leaf.html", data), BEGINS
    for kind, members in by_kind.items():
        listed = sorted(members, key=lambda one: (one.title.casefold(), one.id))
        data = {**common, "leaves": listed, "top": "../", "kind": KINDS[kind], "page_of": page_of}
        yield f"{kind}/index.html", _filled(frame, "list.html", data), BEGINS
    counts = {kind: len(members) for kind, members in by_kind.items()}
    yield "index.html", _filled(frame, "index.html", {**common, "counts": counts, "top": ""}), BEGINS
    yield "entries.js", _searched(found), _DATA.encode()
    for name, begins in _ASSETS.items():
        yield name, files("proveout.show.docs").joinpath("static", name).read_bytes(), begins


def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("proveout.show.docs"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _filled(frame: Environment, template: str, data: dict[str, object]) -> bytes:
    """Return a page; what is filled in is escaped but for our own drawings; hidden characters are shown."""
    return visible(frame.get_template(template).render(**data, drawn=Markup)).encode()


def _searched(found: Sequence[Leaf]) -> bytes:
    """Return what the search looks through, as a script, since a page without a server may fetch nothing."""
    rows = [
        [KINDS[leaf.kind], leaf.title, page_of(leaf.kind, leaf.id), " ".join((leaf.id, *leaf.words))]
        for leaf in found
    ]
    return f"{_DATA}{visible(json.dumps(rows, ensure_ascii=True))};\n".encode()
