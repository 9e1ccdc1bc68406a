"""The book's pages in a browser, opened from disk: the search, a phone's width, no request elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_book
from helpers_browser import PHONE, Watched, browsing, looking
from helpers_shipped import shipped_book
from proveout.book.around import around
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.show.docs.pages import pages
from proveout.show.graph import graph_svg

HOSTILE = "<img src=x onerror=document.title=1>"


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with browsing() as found:
        yield found


def check(look: Watched, name: str) -> None:
    """Look at a page; axe then asks for the style sheet itself, which the policy refuses: not our fault."""
    look.check(name)
    look.wrong.clear()


def write(home: Path, book: Book) -> str:
    """Write the pages of a book and return the address of the directory."""
    for name, content, _ in pages(book):
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_bytes(content)
    return f"file://{home}"


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> str:
    return write(tmp_path_factory.mktemp("pages"), shipped_book())


@pytest.mark.parametrize("wide", [PHONE, 1200])
def test_the_search_finds_without_a_server_and_leads_on(browser: Any, shipped: str, wide: int) -> None:
    with looking(browser, shipped, wide) as look:
        page = look.page
        page.goto(f"{shipped}/index.html")
        page.get_by_role("searchbox").fill("P0442")
        page.locator("#found a").first.wait_for()
        check(look, "book-search")
        page.locator("#found a", has_text="P0442").first.click()
        assert page.get_by_role("heading", level=1).inner_text().startswith("P0442")
        check(look, "book-code")
        page.locator("td a").first.click()
        assert "/causes/" in page.url
        check(look, "book-cause")
        page.get_by_role("searchbox").fill("vacuum purge holds")
        page.get_by_role("button", name="Find").click()
        page.locator("#found a").first.click()
        assert "/inspections/" in page.url
        check(look, "book-inspection")
        page.get_by_role("link", name="Inspections").click()
        check(look, "book-list")


def test_a_hostile_title_is_found_and_stays_text(browser: Any, tmp_path: Path) -> None:
    home = write_book(
        tmp_path / "book", edit={"causes.yaml": [("title: Valve leaks", f"title: '{HOSTILE}'")]}
    )
    origin = write(tmp_path / "pages", load_book(base=home))
    with looking(browser, origin) as look:
        look.page.goto(f"{origin}/index.html?q=onerror")
        assert look.page.locator("#found a").first.inner_text() == HOSTILE
        look.page.locator("#found a").first.click()
        assert look.page.get_by_role("heading", level=1).inner_text() == HOSTILE
        check(look, "book-hostile")


def test_nothing_found_is_said(browser: Any, shipped: str) -> None:
    with looking(browser, shipped) as look:
        look.page.goto(f"{shipped}/index.html?q=zzzz+nothing")
        assert "Nothing has all these words" in look.page.locator("#found").inner_text()


#: Gives the texts that reach beyond the right side of their box.
OUT = """() => [...document.querySelectorAll("rect")].flatMap((box) => {
  const {x, y, width, height} = box.getBBox();
  return [...document.querySelectorAll("text")].map((text) => [text, text.getBBox()])
    .filter(([, at]) => Math.abs(at.x - x - 7) < 1 && at.y > y - 3 && at.y + at.height < y + height + 5)
    .filter(([, at]) => at.x + at.width > x + width - 1).map(([text]) => text.textContent);
})"""


@pytest.mark.parametrize("entry", ["P0442", "P0300", "purge-valve-stuck-open", "coil-swap"])
def test_no_text_runs_out_of_its_box(browser: Any, entry: str) -> None:
    book = shipped_book()
    page = browser.new_page()
    page.set_content(graph_svg(book, around(book, entry, 40)))
    assert page.locator("rect").count() > 2
    assert page.evaluate(OUT) == []
    page.close()
