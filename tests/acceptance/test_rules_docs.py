"""The book as static pages: each entry has one, each link leads somewhere, no text of a layer is markup."""

from __future__ import annotations

import hashlib
import json
import posixpath
import re
from collections.abc import Mapping
from html import unescape
from pathlib import Path

import pytest

from helpers_book import write_book
from helpers_cli import proveout
from helpers_shipped import shipped_book
from proveout.app.publishing import LIST, publish
from proveout.book.load import load_book
from proveout.model.problem import BadInputError
from proveout.show.docs.leaf import named, page_of
from proveout.show.docs.links import home_of
from proveout.show.docs.pages import pages
from proveout.show.entry import catalogue

_LINK = re.compile(r'(?:href|src|action)="([^"]*)"')
_NAME = re.compile(r' id="([^"]*)"')
HOSTILE = "<script>alert(1)</script><img src=x onerror=alert(2)>\"'&amp;</textarea>"


@pytest.fixture(scope="module")
def shipped() -> Mapping[str, str]:
    """Return the pages of the shipped book by path."""
    return {name: content.decode() for name, content, _ in pages(shipped_book())}


def test_every_entry_and_every_rule_has_its_place(shipped: Mapping[str, str]) -> None:
    book = shipped_book()
    for kind, titles in catalogue(book).items():
        missing = [name for name in titles if kind != "rules" and page_of(kind, name) not in shipped]
        assert not missing, kind
    for rule in book.rules.values():
        assert f'id="{named(rule.id)}"' in shipped[page_of(*home_of(rule))], rule.id
    for driving in book.driving:
        assert page_of("driving-on", driving.id) in shipped


def test_every_link_leads_to_a_page_and_to_its_part(shipped: Mapping[str, str]) -> None:
    names = {path: set(_NAME.findall(text)) for path, text in shipped.items() if path.endswith(".html")}
    for path, text in shipped.items():
        for link in set(_LINK.findall(text)) if path.endswith(".html") else ():
            to, _, part = unescape(link).partition("#")
            target = posixpath.normpath(posixpath.join(posixpath.dirname(path), to)) if to else path
            assert target in shipped, f"{path} leads to {link}"
            assert not part or part in names[target], f"{path} leads to {link}"


def test_nothing_is_asked_of_anybody(shipped: Mapping[str, str]) -> None:
    for path, text in shipped.items():
        elsewhere = {url for url in re.findall(r"https?://[^\s\"'<)]+", text) if "www.w3.org" not in url}
        loaded = [link for link in _LINK.findall(text) if "//" in link]
        assert not loaded, path
        assert "@import" not in text and "url(" not in text, (path, elsewhere)


def test_an_inspection_page_has_its_cautions_before_its_steps_and_its_picture(
    shipped: Mapping[str, str],
) -> None:
    for name, inspection in shipped_book().inspections.items():
        page = shipped[page_of("inspections", name)]
        assert page.index('class="warn"') < page.index("<h2>Steps</h2>"), name
        assert all(f'"result">{result.id}</td>' in page for result in inspection.results), name
    drawn = sum("<svg" in text for path, text in shipped.items() if path.startswith("inspections/"))
    assert drawn > 100


def test_a_cause_page_says_what_is_seen_with_it_and_what_rests_on_a_source(
    shipped: Mapping[str, str],
) -> None:
    book = shipped_book()
    rule = next(one for one in book.rules.values() if one.observes and one.weights and one.source)
    cause = next(iter(rule.weights))
    kind, entry = home_of(rule)
    assert f'href="../{page_of(kind, entry)}#{named(rule.id)}"' in shipped[page_of("causes", cause)]
    assert f'"it is seen">{rule.weights[cause]:g}</td>' in shipped[page_of(kind, entry)]
    source = re.search(r'href="\.\./(sources/[0-9a-f]+\.html)"', shipped[page_of(kind, entry)])
    assert source and named(rule.id) in shipped[source[1]]


def test_text_of_a_layer_stays_text(tmp_path: Path) -> None:
    quoted = HOSTILE.replace("'", "''")
    home = write_book(
        tmp_path / "book",
        edit={
            "causes.yaml": [("title: Valve leaks", f"title: '{quoted}'")],
            "inspections.yaml": [("steps: [Pump., Wait.]", f"steps: ['{quoted}', Wait.]")],
            "components.yaml": [("words: [solenoid]", f"words: ['{quoted}']")],
        },
    )
    for name, content, _ in pages(load_book(base=home)):
        text = content.decode()
        if name == "entries.js":  # no markup: a script of its own that holds one list of texts
            assert any(
                HOSTILE in row for row in json.loads(text.removeprefix("var bookEntries = ").rstrip(";\n"))
            )
            continue
        assert "<script>alert" not in text and "<img" not in text and "</textarea>" not in text, name
        if name.startswith("causes/valve-leaks"):
            assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text


@pytest.mark.long(20)
def test_the_command_writes_them_and_spares_what_is_no_page_of_the_book(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mine = tmp_path / "mine"
    out = tmp_path / "pages"
    mine.mkdir()
    (mine / "own.yaml").write_text(
        "own-figures:\n  - id: two-litre\n    inspection: fuel-pressure-at-idle\n"
        "    when: {fact: vehicle.engine, is: 2.0 petrol}\n    limits: {right: 380..420 kPa}\n"
        "    reference: workshop sheet 4\n",
        "utf-8",
    )
    answer = proveout("rules", "docs", out, "--rules", mine, home=tmp_path)
    assert (answer.code, answer.out) == (0, ""), answer.err
    assert f"begin with {out / 'index.html'}" in answer.err
    assert "right 380..420 kPa" in (out / "own-figures" / "two-litre.html").read_text("utf-8")
    used = (out / "inspections" / "fuel-pressure-at-idle.html").read_text("utf-8")
    assert 'href="../own-figures/two-litre.html"' in used
    (out / "index.html").write_text("my own notes", "utf-8")
    book = write_book(tmp_path / "book")
    monkeypatch.setattr("proveout.book.load.rules_dir", lambda: book)
    answer = proveout("rules", "docs", out, home=tmp_path)
    assert answer.code == 3 and "index.html" in answer.err
    assert (out / "index.html").read_text("utf-8") == "my own notes"


def test_only_what_is_not_as_it_was_written_is_written_again(tmp_path: Path) -> None:
    whole = list(pages(load_book(base=write_book(tmp_path / "book"))))
    publish(tmp_path / "out", whole)
    files = {name: tmp_path / "out" / name for name, _, _ in whole}
    inodes = {name: path.stat().st_ino for name, path in files.items()}
    (spoilt, content, begins), (lost, *_), *_ = whole
    files[spoilt].write_bytes(begins + b"spoilt")
    files[lost].unlink()
    assert publish(tmp_path / "out", whole) == (len(whole), 0)
    assert files[spoilt].read_bytes() == content and files[lost].is_file()
    assert all(files[name].stat().st_ino == inodes[name] for name in files if name not in (spoilt, lost))


def test_pages_of_what_the_book_has_lost_are_removed_and_nothing_else(tmp_path: Path) -> None:
    out = tmp_path / "pages"
    mine, elsewhere = write_book(tmp_path / "book"), tmp_path / "elsewhere"
    publish(out, pages(load_book(base=mine)))
    gone = ["causes/valve-leaks.html", "causes/hose-cracked.html", "symptoms/smell.html"]
    assert all((out / name).is_file() for name in gone)
    (out / gone[1]).write_text((out / gone[1]).read_text("utf-8") + "<!-- a note of mine -->", "utf-8")
    (out / "symptoms").rename(elsewhere)
    (out / "symptoms").symlink_to(elsewhere)
    for name in ("causes/old.html", "notes.txt"):
        (out / name).write_text("mine", "utf-8")
    digest = hashlib.sha256(b"aside").hexdigest()
    (tmp_path / "aside.html").write_bytes(b"aside")
    with (out / LIST).open("a", encoding="utf-8") as stream:  # a list that was tampered with
        stream.write(f"{digest}  ../aside.html\n{digest}  {tmp_path}/aside.html\n")

    kept = [one for one in pages(load_book(base=None)) if not one[0].startswith("symptoms/")]
    written, removed = publish(out, kept)
    assert written == len(kept) and removed > 5
    assert not (out / gone[0]).exists()
    assert "a note of mine" in (out / gone[1]).read_text("utf-8"), "changed since it was written"
    assert (elsewhere / "smell.html").is_file(), "reached over a link"
    assert (tmp_path / "aside.html").is_file()
    assert (out / "causes/old.html").read_text() == (out / "notes.txt").read_text() == "mine"
    assert publish(out, kept) == (len(kept), 0)


def test_what_a_broken_off_run_wrote_is_known_the_next_time(tmp_path: Path) -> None:
    out = tmp_path / "pages"
    files = [("a/one.html", b"<p>1", b"<p>"), ("a/two.html", b"<p>2", b"<p>")]
    (out / "a").mkdir(parents=True)
    (out / "a/two.html").write_text("mine", "utf-8")
    with pytest.raises(BadInputError, match=r"two\.html"):
        publish(out, files)
    assert (out / "a/one.html").is_file()
    assert publish(out, []) == (0, 1)
    assert [path.name for path in (out / "a").iterdir()] == ["two.html"]
