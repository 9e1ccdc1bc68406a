"""The Chromium of the system, driven; what a page must never do is watched all the time."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from helpers_shipped import shipped_book

#: Where to look for a browser; a variable names another.
_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
#: Milliseconds that a page may take: the machine may be busy.
PATIENCE = 30_000
#: Width of a small phone; the markup of the pages is the same at every width, so axe looks at it once.
PHONE = 360


def chromium() -> str:
    """Return the browser, or skip the tests where there is none; where one must be, that fails."""
    found = os.environ.get("PROVEOUT_CHROMIUM") or next(filter(None, map(shutil.which, _NAMES)), "")
    if not found and os.environ.get("PROVEOUT_FRESH"):
        pytest.fail("CI must have a Chromium: apt-get install chromium")
    if not found:
        pytest.skip("no Chromium here (apt-get install chromium, or name one in PROVEOUT_CHROMIUM)")
    return found


@dataclass
class Watched:
    """A page, and what went wrong on it.

    Attributes:
        page: of Playwright.
        wrong: console errors, faults of scripts, and requests that went elsewhere.
    """

    page: Any
    wrong: list[str] = field(default_factory=list)

    def shot(self, name: str) -> None:
        """Keep pictures of the whole page, light and dark, where a variable says where to."""
        if where := os.environ.get("PROVEOUT_SCREENSHOTS"):
            wide = self.page.viewport_size["width"]
            for scheme, mark in (("dark", "-dark"), ("light", "")):
                self.page.emulate_media(color_scheme=scheme)
                self.page.screenshot(path=Path(where) / f"{name}-{wide}{mark}.png", full_page=True)

    def check(self, name: str) -> None:
        """Look at a page: nothing wrong, not too wide, on a phone nothing grave for axe, light and dark."""
        from axe_playwright_python.sync_playwright import Axe

        self.page.wait_for_load_state()  # lest it be measured before its style sheet holds
        self.shot(name)
        assert self.wrong == []
        if self.page.url.startswith("http"):
            words = re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", self.page.inner_text("body"))
            assert not raw_ids() & set(words), f"{name} shows ids where words should stand"
            small = self.page.evaluate(_SMALL)
            assert small == [], f"{name}: too small for a thumb"
        over = self.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert over <= 0, f"{name} is {over} px too wide"
        if self.page.viewport_size["width"] > PHONE:
            return
        for scheme in ("dark", "light"):
            self.page.emulate_media(color_scheme=scheme)
            found = Axe().run(self.page).response["violations"]
            grave = [(one["id"], one["nodes"][0]["html"][:200]) for one in found if one["impact"] in _GRAVE]
            assert grave == [], f"{name}, {scheme}"


@cache
def raw_ids() -> frozenset[str]:
    """Return the ids of the shipped book that no sentence would hold as a word: those with two hyphens."""
    book = shipped_book()
    results = (result.id for entry in book.inspections.values() for result in entry.results)
    every = (*book.inspections, *book.causes, *book.words.tools, *book.words.findings, *results)
    return frozenset(one for one in every if one.count("-") > 1)


#: Gives what is pressed or typed in and is lower than 44 px ("Target Size (Enhanced)" of WCAG 2.2); a
#: box to tick counts with its label, links within text are let off.
_SMALL = """() => [...document.querySelectorAll(
  'button, .button, summary, select, textarea, .list a, label:has(input[type=checkbox], input[type=radio]), '
  + 'input:not([type=hidden], [type=checkbox], [type=radio])')]
  .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 43.5)
  .map((one) => one.outerHTML.slice(0, 120))"""
_GRAVE = ("serious", "critical")


@contextmanager
def browsing() -> Iterator[Any]:
    """Return a running browser."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    path = chromium()
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=["--disable-dev-shm-usage"])
        yield browser
        browser.close()


@contextmanager
def looking(browser: Any, origin: str, width: int = PHONE, height: int = 740) -> Iterator[Watched]:
    """Return a page of its own, watched."""
    context = browser.new_context(viewport={"width": width, "height": height}, reduced_motion="reduce")
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    watched = Watched(page)

    def asked(request: Any) -> None:
        if not request.url.startswith((f"{origin}/", "data:", "blob:")):
            watched.wrong.append(f"asked for {request.url}")

    page.on("console", lambda one: watched.wrong.append(one.text) if one.type == "error" else None)
    page.on("pageerror", lambda error: watched.wrong.append(str(error)))
    context.on("request", asked)
    yield watched
    context.close()
